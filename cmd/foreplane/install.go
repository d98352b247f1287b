package main

import (
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"

	"github.com/spf13/cobra"
)

//go:generate sh -c "cd logo && go run draw.go"

//go:embed logo/*.png logo/*.svg
var logos embed.FS

// kernelName is the folder of the kernelspec, and what notebooks and front ends call the kernel by.
const kernelName = "foreplane"

// kernelspec is kernel.json as the protocol's section on kernels describes it.
type kernelspec struct {
	Argv          []string       `json:"argv"`
	DisplayName   string         `json:"display_name"`
	Language      string         `json:"language"`
	InterruptMode string         `json:"interrupt_mode"`
	Metadata      map[string]any `json:"metadata"`
}

func installCommand() *cobra.Command {
	var system bool
	var prefix string
	var s settings
	cmd := &cobra.Command{
		Use:   "install",
		Short: "Make the kernel known to notebook front ends",
		Long: `Install copies this program into a kernelspec, where notebook front ends find it.

By default it is installed for the current user. --system installs it for all users of the machine, and --prefix for one
environment, such as a Python virtual environment. What is set by the other flags holds for each kernel that is started.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := s.check(); err != nil {
				return err
			}
			data, err := dataDir(system, prefix)
			if err != nil {
				return failed(exitOutput, err)
			}
			dir := filepath.Join(data, "kernels", kernelName)
			if err := install(dir, s.arguments(cmd.Flags())); err != nil {
				return failed(exitOutput, fmt.Errorf("cannot install the kernel in %s: %w", dir, err))
			}
			fmt.Fprintf(cmd.OutOrStdout(), "installed the kernel %q in %s\n", kernelName, dir)
			return nil
		},
	}
	cmd.Flags().BoolVar(&system, "system", false, "install for all users of this machine")
	cmd.Flags().StringVar(&prefix, "prefix", "", "install under `DIR`/share/jupyter")
	s.bind(cmd.Flags())
	cmd.MarkFlagsMutuallyExclusive("system", "prefix")
	return cmd
}

// dataDir is the folder that front ends search for kernels, as their documentation lists them.
func dataDir(system bool, prefix string) (string, error) {
	switch {
	case prefix != "":
		abs, err := filepath.Abs(prefix)
		return filepath.Join(abs, "share", "jupyter"), err
	case system && runtime.GOOS == "windows":
		return filepath.Join(os.Getenv("PROGRAMDATA"), "jupyter"), nil
	case system:
		return "/usr/local/share/jupyter", nil
	}
	return userDataDir()
}

func userDataDir() (string, error) {
	if dir := os.Getenv("JUPYTER_DATA_DIR"); dir != "" {
		return dir, nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", err
	}
	switch runtime.GOOS {
	case "darwin":
		return filepath.Join(home, "Library", "Jupyter"), nil
	case "windows":
		return filepath.Join(os.Getenv("APPDATA"), "jupyter"), nil
	}
	if dir := os.Getenv("XDG_DATA_HOME"); dir != "" {
		return filepath.Join(dir, "jupyter"), nil
	}
	return filepath.Join(home, ".local", "share", "jupyter"), nil
}

// install writes the kernelspec to a new folder beside dir and then puts it in dir's place, so that a front end never sees half of one. The program
// is copied along: a kernelspec that points to a build in a temporary folder would not last.
func install(dir string, settings []string) error {
	if err := os.MkdirAll(filepath.Dir(dir), 0o755); err != nil {
		return err
	}
	fresh, err := os.MkdirTemp(filepath.Dir(dir), ".foreplane-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(fresh)
	program := kernelName
	if runtime.GOOS == "windows" {
		program += ".exe"
	}
	if err := errors.Join(os.Chmod(fresh, 0o755), copyProgram(filepath.Join(fresh, program)), writeLogos(fresh), writeSpec(fresh, program, settings)); err != nil {
		return err
	}
	if err := os.RemoveAll(dir); err != nil {
		return err
	}
	return os.Rename(fresh, dir)
}

func writeSpec(dir, program string, settings []string) error {
	spec := kernelspec{
		Argv:          append([]string{"{resource_dir}/" + program, "kernel", "{connection_file}"}, settings...),
		DisplayName:   "Foreplane (Go)",
		Language:      "go",
		InterruptMode: "message",
		Metadata:      map[string]any{},
	}
	text, err := json.MarshalIndent(spec, "", "  ")
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, "kernel.json"), append(text, '\n'), 0o644)
}

func writeLogos(dir string) error {
	files, err := logos.ReadDir("logo")
	if err != nil {
		return err
	}
	for _, f := range files {
		data, err := logos.ReadFile("logo/" + f.Name())
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(dir, f.Name()), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

func copyProgram(to string) error {
	self, err := os.Executable()
	if err != nil {
		return err
	}
	in, err := os.Open(self)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o755)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Close())
}
