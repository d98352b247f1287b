package worker

import "os"

// place is not known here: a worker shares no memory with its supervisor.
type place struct{ file *os.File }

func newPlace() (*place, error) {
	f, err := os.Open(os.DevNull)
	return &place{f}, err
}

func inheritedPlace(f *os.File) (*int, error) { return new(int), f.Close() }

func (p *place) take() int {
	p.file.Close()
	return 0
}
