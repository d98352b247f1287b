package worker

import (
	"math"
	"syscall"
)

// installedMemory returns how much memory the machine has, in bytes.
func installedMemory() uint64 {
	var info syscall.Sysinfo_t
	if syscall.Sysinfo(&info) != nil {
		return math.MaxUint64
	}
	return uint64(info.Totalram) * uint64(info.Unit)
}
