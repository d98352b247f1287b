//go:build unix

package worker

import (
	"os"
	"syscall"
	"unsafe"
)

// place is memory that a worker and its supervisor share: in it the statements of a cell leave their current place, which outlives the worker.
type place struct {
	file  *os.File
	bytes []byte
}

// newPlace makes such memory.
func newPlace() (*place, error) {
	f, err := os.CreateTemp("", "foreplane-place-")
	if err != nil {
		return nil, err
	}
	defer os.Remove(f.Name())
	p := &place{file: f}
	if err = f.Truncate(int64(os.Getpagesize())); err == nil {
		p.bytes, err = mapShared(f)
	}
	return p, err
}

func mapShared(f *os.File) ([]byte, error) {
	return syscall.Mmap(int(f.Fd()), 0, os.Getpagesize(), syscall.PROT_READ|syscall.PROT_WRITE, syscall.MAP_SHARED)
}

// inheritedPlace returns the memory of the file that the supervisor has given to this worker, and closes the file, which cells could write to.
func inheritedPlace(f *os.File) (*int, error) {
	defer f.Close()
	bytes, err := mapShared(f)
	if err != nil {
		return nil, err
	}
	return (*int)(unsafe.Pointer(&bytes[0])), nil
}

// take returns the place and gives the memory back.
func (p *place) take() int {
	at := *(*int)(unsafe.Pointer(&p.bytes[0]))
	syscall.Munmap(p.bytes)
	p.file.Close()
	return at
}
