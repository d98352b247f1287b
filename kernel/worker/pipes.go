package worker

import (
	"os"
	"os/exec"
	"time"
)

// pipes are the supervisor's ends, and until the process has started also the worker's.
type pipes struct {
	down   *os.File
	up     *os.File
	texts  [streams]*os.File
	theirs []*os.File
	at     *place
}

// openPipes connects cmd to new pipes, and to the memory that tells its place.
func openPipes(cmd *exec.Cmd) (*pipes, error) {
	at, err := newPlace()
	if err != nil {
		return nil, err
	}
	p := &pipes{at: at}
	var ends [2 + streams]*os.File // the worker's: down, up, texts
	for i := range ends {
		r, w, err := os.Pipe()
		if err != nil {
			p.closeTheirs()
			p.closeOurs()
			p.at.take()
			return nil, err
		}
		if i == 0 {
			r, w = w, r
		}
		*p.ours()[i] = r
		ends[i] = w
		p.theirs = append(p.theirs, w)
	}
	cmd.Stdout, cmd.Stderr = ends[2+stdout], ends[2+report]
	inherit(cmd, ends[0], ends[1], ends[2+stderr], at.file)
	return p, nil
}

func (p *pipes) ours() []**os.File {
	return []**os.File{&p.down, &p.up, &p.texts[stdout], &p.texts[stderr], &p.texts[report]}
}

func (p *pipes) closeTheirs() {
	for _, f := range p.theirs {
		f.Close()
	}
	p.theirs = nil
}

func (p *pipes) closeOurs() {
	for _, f := range p.ours() {
		(*f).Close() // a nil File only returns an error
	}
}

// expire ends reading from the text pipes after a time, even if somebody holds them open.
func (p *pipes) expire(after time.Duration) {
	for _, f := range p.texts {
		f.SetReadDeadline(time.Now().Add(after)) // where it is not supported, reading ends when they are closed
	}
}
