package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version of Foreplane and of the Go it was built with",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			_, err := fmt.Fprintf(cmd.OutOrStdout(), "foreplane %s, %s %s/%s\n", version(), runtime.Version(), runtime.GOOS, runtime.GOARCH)
			return failed(exitOutput, err)
		},
	}
}

// version is what the Go tool recorded when it built this binary, or "devel" for a build from a working tree.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
		return info.Main.Version
	}
	return "devel"
}
