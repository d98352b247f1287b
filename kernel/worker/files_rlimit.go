//go:build linux || darwin

package worker

import (
	"fmt"
	"syscall"
)

// limitFiles bounds how many files this process may have open; 0 is the default.
func limitFiles(files int) error {
	var now syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_NOFILE, &now); err != nil {
		return err
	}
	most := now.Max
	if files == 0 {
		files = int(min(maxFiles, most))
	}
	if uint64(files) > most {
		return fmt.Errorf("%d open files, the limit that is set by --files: the system allows %d", files, most)
	}
	now.Cur, now.Max = uint64(files), uint64(files)
	return syscall.Setrlimit(syscall.RLIMIT_NOFILE, &now)
}
