//go:build unix

package worker

import (
	"os"
	"os/exec"
	"os/signal"
	"syscall"
)

// lead makes the process to be started the leader of a new group. An interrupt typed at the supervisor's terminal does not reach that group.
func lead(cmd *exec.Cmd) { cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true} }

// kill ends a worker and all it started, which must not have been waited for yet.
func kill(p *os.Process) { syscall.Kill(-p.Pid, syscall.SIGKILL) }

// killSelf ends this worker and all it started.
func killSelf() {
	if syscall.Getpgrp() == os.Getpid() { // else somebody ran the worker by hand, in the group of his shell
		syscall.Kill(0, syscall.SIGKILL)
	}
	os.Exit(1)
}

// ignoreSignals leaves interrupts to the supervisor, and lives on when that has gone and descriptor 1 or 2 can no longer be written, until everything
// is ended in order. Processes that cells start are not concerned, as they would be if the signals were ignored outright.
func ignoreSignals() { signal.Notify(make(chan os.Signal, 1), os.Interrupt, syscall.SIGPIPE) }

// inherit gives files to the process to be started, as [inherited] 0, 1 and so on.
func inherit(cmd *exec.Cmd, files ...*os.File) { cmd.ExtraFiles = files }

// inherited returns the i-th of the files given by [inherit]. Processes that cells start do not get it.
func inherited(i int) *os.File {
	fd := 3 + i
	syscall.CloseOnExec(fd)
	return os.NewFile(uintptr(fd), "")
}

// duplicate returns a second descriptor for f.
func duplicate(f *os.File) (*os.File, error) {
	syscall.ForkLock.RLock()
	defer syscall.ForkLock.RUnlock()
	fd, err := syscall.Dup(int(f.Fd()))
	if err != nil {
		return nil, os.NewSyscallError("dup", err)
	}
	syscall.CloseOnExec(fd)
	return os.NewFile(uintptr(fd), f.Name()), nil
}

// signalled returns the signal that ended a process, and whether one did.
func signalled(s *os.ProcessState) (syscall.Signal, bool) {
	status, ok := s.Sys().(syscall.WaitStatus)
	return status.Signal(), ok && status.Signaled()
}
