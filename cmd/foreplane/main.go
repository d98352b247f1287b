// Command foreplane is the notebook kernel for flight-mechanics calculations in Go, and everything that goes with it.
//
// It is the only place where the parts are wired together: the protocol core to its transports, the front half of cells to the worker process, and
// both to the library of packages that cells can import.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"

	"github.com/spf13/cobra"
)

// Exit codes. They are part of the interface: scripts and CI rely on them.
const (
	exitOK          = 0
	exitCellFailed  = 1   // a cell of the notebook failed
	exitUsage       = 2   // the command line is wrong
	exitInput       = 3   // a file that was to be read is missing, unreadable or not for this kernel
	exitOutput      = 4   // a result could not be written
	exitKernel      = 5   // the kernel could not start or was lost
	exitInterrupted = 130 // ended by Ctrl-C; what was done until then is written
)

const exitCodeHelp = `Exit codes: 0 done; 1 a cell failed; 2 wrong command line; 3 input missing, unreadable or not for this kernel;
4 a result could not be written; 5 the kernel could not start or was lost; 130 interrupted.`

// exitError is an error with the exit code that belongs to it.
type exitError struct {
	code int
	err  error
}

func (e *exitError) Error() string { return e.err.Error() }
func (e *exitError) Unwrap() error { return e.err }

// failed attaches an exit code to an error; a nil error stays nil.
func failed(code int, err error) error {
	if err == nil {
		return nil
	}
	return &exitError{code, err}
}

func main() {
	if isVetTool(os.Args[1:]) {
		vetTool()
	}
	root := &cobra.Command{
		Use:   "foreplane",
		Short: "A notebook kernel for flight-mechanics calculations in Go",
		Long: "Foreplane runs notebooks whose cells are Go, with a library for the aeroplane with two lifting surfaces preloaded.\n\n" +
			exitCodeHelp,
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.AddCommand(kernelCommand(), installCommand(), runCommand(), publishCommand(), handoutCommand(), checkCommand(), diffCommand(), vetCommand(), versionCommand(), workerCommand())
	os.Exit(exitCode(root.ExecuteContext(context.Background())))
}

// exitCode reports err to the user and returns the code to leave with.
func exitCode(err error) int {
	if err == nil {
		return exitOK
	}
	fmt.Fprintln(os.Stderr, "foreplane:", err)
	if e := (*exitError)(nil); errors.As(err, &e) {
		return e.code
	}
	return exitUsage // cobra's own errors are about the command line
}

// untilInterrupted returns a context that ends with the first Ctrl-C; the second one ends the process at once.
func untilInterrupted(parent context.Context) (context.Context, context.CancelFunc) {
	ctx, stop := signal.NotifyContext(parent, os.Interrupt)
	context.AfterFunc(ctx, stop)
	return ctx, stop
}
