//go:build linux || darwin

package cell

import (
	"errors"
	"fmt"
	"syscall"
)

// explainFiles adds to an error that no more files can be opened how many may be open, and who says so.
func explainFiles(err error) string {
	var limit syscall.Rlimit
	if !errors.Is(err, syscall.EMFILE) || syscall.Getrlimit(syscall.RLIMIT_NOFILE, &limit) != nil {
		return err.Error()
	}
	return fmt.Sprintf("%v: the limit is %d, set by --files", err, limit.Cur)
}
