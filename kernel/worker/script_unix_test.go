//go:build unix

package worker_test

import (
	"context"
	"os"
	"os/exec"
	"strconv"
	"syscall"

	"foreplane/kernel"
)

func init() {
	steps["signal"] = plain(func(signal string, _ kernel.Output) {
		syscall.Kill(os.Getpid(), syscall.Signal(number(signal)))
		select {}
	})
	steps["start"] = stepStart
}

// stepStart leaves a process behind, on the worker's stdout; its value is the process's number.
func stepStart(_ context.Context, _ *script, command string, _ kernel.Output) (string, error) {
	c := exec.Command("sh", "-c", command)
	c.Stdout = os.Stdout
	if err := c.Start(); err != nil {
		return "", err
	}
	return strconv.Itoa(c.Process.Pid), nil
}
