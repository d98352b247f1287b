package main

import (
	"cmp"
	"os"
	"runtime/debug"

	"github.com/spf13/cobra"

	"foreplane/kernel/cell"
	"foreplane/kernel/symbols"
	"foreplane/kernel/worker"
)

// newEngine wires the front half of cells to a worker process that holds the interpreter. Cells run in dir; empty is the current folder.
func newEngine(dir string, limits worker.Options) (*cell.Engine, error) {
	self, err := os.Executable()
	if err != nil {
		return nil, err
	}
	limits.Argv, limits.Dir = []string{self, "worker"}, dir
	runner := worker.New(limits)
	front := cell.NewFront(symbols.Library)
	front.SetFolder(cmp.Or(dir, "."))
	return cell.NewEngine(front, runner), nil
}

// workerCommand is what newEngine starts. It is of no use to people.
func workerCommand() *cobra.Command {
	return &cobra.Command{
		Use:    "worker",
		Hidden: true,
		Args:   cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			os.Exit(worker.Main(func() (cell.Runner, error) {
				defer settle()
				return cell.NewMachine(symbols.Library, cell.MachineOptions{Present: symbols.Present})
			}))
			return nil
		},
	}
}

// settle gives back the memory that starting took.
func settle() {
	debug.FreeOSMemory()
	releaseCode()
}
