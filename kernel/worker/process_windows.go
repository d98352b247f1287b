package worker

import (
	"os"
	"os/exec"
	"os/signal"
	"strconv"
	"strings"
	"syscall"
)

// handles is the environment variable that tells the worker its inherited handles.
const handles = "FOREPLANE_WORKER_HANDLES"

func lead(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{CreationFlags: syscall.CREATE_NEW_PROCESS_GROUP}
}

// kill ends a worker, but not what it started.
func kill(p *os.Process) { p.Kill() }

func killSelf() { os.Exit(1) }

func ignoreSignals() { signal.Notify(make(chan os.Signal, 1), os.Interrupt) }

// inherit gives files to the process to be started, as [inherited] 0, 1 and so on.
func inherit(cmd *exec.Cmd, files ...*os.File) {
	names := make([]string, len(files))
	for i, f := range files {
		h := syscall.Handle(f.Fd())
		syscall.SetHandleInformation(h, syscall.HANDLE_FLAG_INHERIT, syscall.HANDLE_FLAG_INHERIT)
		cmd.SysProcAttr.AdditionalInheritedHandles = append(cmd.SysProcAttr.AdditionalInheritedHandles, h)
		names[i] = strconv.FormatUint(uint64(h), 10)
	}
	cmd.Env = append(cmd.Env, handles+"="+strings.Join(names, ","))
}

// inherited returns the i-th of the files given by [inherit], or nil.
func inherited(i int) *os.File {
	names := strings.Split(os.Getenv(handles), ",")
	if i >= len(names) {
		return nil
	}
	h, err := strconv.ParseUint(names[i], 10, 64)
	if err != nil {
		return nil
	}
	return os.NewFile(uintptr(h), "")
}

// duplicate returns a second handle for f.
func duplicate(f *os.File) (*os.File, error) {
	self, err := syscall.GetCurrentProcess()
	if err != nil {
		return nil, err
	}
	var h syscall.Handle
	if err := syscall.DuplicateHandle(self, syscall.Handle(f.Fd()), self, &h, 0, false, syscall.DUPLICATE_SAME_ACCESS); err != nil {
		return nil, os.NewSyscallError("DuplicateHandle", err)
	}
	return os.NewFile(uintptr(h), f.Name()), nil
}

// signalled reports false: no signals end processes here.
func signalled(*os.ProcessState) (syscall.Signal, bool) { return 0, false }
