//go:build unix

package main

import (
	"errors"
	"syscall"
)

const canWatch = true

// running reports whether a process exists. One of another user exists too.
func running(pid int) bool {
	return !errors.Is(syscall.Kill(pid, 0), syscall.ESRCH)
}
