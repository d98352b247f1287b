//go:build !race

package worker

import (
	"fmt"
	"os"
	"syscall"
)

// limitData makes the system refuse memory beyond the given bytes, so that one huge allocation fails before it is touched. The [watch] counts what
// is in use; memory that is mapped but was given back counts here too, hence the quarter more.
func limitData(bytes uint64) error {
	statm, err := os.ReadFile("/proc/self/statm")
	if err != nil {
		return err
	}
	var size, resident, shared, text, lib, data uint64 // pages; see proc(5)
	if _, err := fmt.Sscan(string(statm), &size, &resident, &shared, &text, &lib, &data); err != nil {
		return err
	}
	limit := data*uint64(os.Getpagesize()) + bytes + bytes/4
	return syscall.Setrlimit(syscall.RLIMIT_DATA, &syscall.Rlimit{Cur: limit, Max: limit})
}
