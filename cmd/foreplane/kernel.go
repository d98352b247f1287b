package main

import (
	"context"
	"fmt"
	"log/slog"
	"os"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"foreplane/kernel"
	"foreplane/kernel/transport"
)

func kernelCommand() *cobra.Command {
	var s settings
	cmd := &cobra.Command{
		Use:   "kernel CONNECTION-FILE",
		Short: "Serve a notebook front end (front ends start this themselves)",
		Args:  cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := s.check(); err != nil {
				return err
			}
			return failed(exitKernel, serve(cmd.Context(), args[0], s))
		},
	}
	s.bind(cmd.Flags())
	return cmd
}

// serve runs a kernel until it is told to end, or its parent has gone.
func serve(ctx context.Context, connectionFile string, set settings) error {
	log := slog.New(slog.NewTextHandler(os.Stderr, nil))
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM)
	engine, err := newEngine("", set.limits())
	if err != nil {
		return err
	}
	server, err := transport.Open(ctx, connectionFile, log)
	if err != nil {
		engine.Close()
		return err
	}
	engine.Rebuild = set.rebuild
	view := watch(engine)
	k, err := kernel.New(kernel.Options{
		Engine: view, Sender: server, Pager: true, Info: kernelInfo(), History: historyFile(log), Log: log, Time: set.time, Fold: int64(set.output),
	})
	if err != nil {
		engine.Close()
		server.Close()
		return err
	}
	k.RegisterPrompt(variablesTarget, view.open)
	server.Serve(transport.Handlers{Message: k.Handle, Subscribed: k.Subscribed, Gone: k.Gone})
	debug.SetGCPercent(60) // what it holds are sources and types of a whole session; it computes nothing
	settle()               // a kernel idles most of its life
	obey(k, signals, parentGone())
	if err := k.Close(); err != nil {
		log.Warn("the engine did not end cleanly", "error", err)
	}
	return server.Close()
}

// obey returns when the kernel has to end. Ctrl-C interrupts the cell that runs and is otherwise of no consequence: front ends send it to the whole
// process group.
func obey(k *kernel.Kernel, signals <-chan os.Signal, orphaned <-chan struct{}) {
	for {
		select {
		case s := <-signals:
			if s != os.Interrupt {
				return
			}
			k.Interrupt()
		case <-orphaned:
			return
		case <-k.Done():
			return
		}
	}
}

func kernelInfo() kernel.Info {
	return kernel.Info{
		Version: version(),
		Banner: fmt.Sprintf("Foreplane %s: flight mechanics in Go. Cells are Go; the packages of aerolib and the names of units are there without imports.\n"+
			"For study and preliminary work: the approved flight manual, the certified weighing record, local regulations and licensed engineers decide.", version()),
		HelpLinks: []kernel.HelpLink{
			{Text: "The Go language", URL: "https://go.dev/ref/spec"},
			{Text: "The Go standard library", URL: "https://pkg.go.dev/std"},
		},
	}
}

// historyFile is where inputs are kept over restarts; without a place for it they are kept in memory only.
func historyFile(log *slog.Logger) string {
	dir, err := os.UserConfigDir()
	if err == nil {
		dir = filepath.Join(dir, "foreplane")
		err = os.MkdirAll(dir, 0o700)
	}
	if err != nil {
		log.Warn("inputs are not kept over restarts", "error", err)
		return ""
	}
	return filepath.Join(dir, "history.jsonl")
}

// parentGone is closed when the process that started the kernel, by its own word in the environment, has ended. The channel stays open if nobody is
// to be watched.
func parentGone() <-chan struct{} {
	gone := make(chan struct{})
	pid, err := strconv.Atoi(os.Getenv("JPY_PARENT_PID"))
	if err != nil || pid <= 1 || !canWatch {
		return gone
	}
	go func() {
		for running(pid) {
			time.Sleep(time.Second)
		}
		close(gone)
	}()
	return gone
}
