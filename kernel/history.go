package kernel

import (
	"bufio"
	"encoding/json"
	"errors"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"
)

// Bounds of the history: it is there to recall inputs at a prompt, not to archive data that was pasted into a cell.
const (
	maxHistory = 2_000   // inputs in memory, of this session and of earlier ones
	maxRecord  = 1 << 18 // bytes of one line of the file; longer ones are not kept
	maxFile    = 2 << 20 // bytes of the file before it is set aside
)

// history keeps the inputs of this session and, through a file of JSON lines, of earlier ones.
//
// Every line is appended by one write, so kernels that share the file do not disturb each other. When a kernel starts and finds the file over maxFile,
// it renames it to end in ".old", in place of an earlier one. The two files are read when a client first asks: most never do. A session is numbered by
// the millisecond it began in, which needs no agreement between kernels.
type history struct {
	path    string // empty: in memory only
	log     *slog.Logger
	session int64
	earlier func() record // what the files hold of other sessions

	mu  sync.Mutex
	own record
}

// entry is one input and, once there is one, the text of its value. In the file the two are lines of their own.
type entry struct {
	Session int64   `json:"session"`
	Line    int     `json:"line"`
	Input   string  `json:"input,omitempty"`
	Output  *string `json:"output,omitempty"`
}

// record is a list of entries in order of arrival.
type record []entry

// openHistory returns the history in path. What cannot be read or written is logged and passed over: a kernel without history is better than none.
func openHistory(path string, now time.Time, log *slog.Logger) *history {
	h := &history{path: path, log: log, session: now.UnixMilli()}
	h.earlier = sync.OnceValue(h.load)
	if path != "" {
		h.complain(os.MkdirAll(filepath.Dir(path), 0o700))
		h.setAside()
	}
	return h
}

func (h *history) old() string { return h.path + ".old" }

func (h *history) setAside() {
	if info, err := os.Stat(h.path); err == nil && info.Size() > maxFile {
		h.complain(os.Rename(h.path, h.old()))
	}
}

func (h *history) complain(err error) {
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		h.log.Warn("history", "reason", err)
	}
}

func (h *history) load() record {
	var all record
	if h.path != "" {
		h.complain(h.read(h.old(), &all))
		h.complain(h.read(h.path, &all))
	}
	return all
}

// read adds one file to a record. Lines that make no sense, such as one that was cut off when a disk was full, are passed over.
func (h *history) read(name string, into *record) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 2*maxRecord)
	bad := 0
	for lines.Scan() {
		var e entry
		switch err := json.Unmarshal(lines.Bytes(), &e); {
		case err != nil || e.Line < 1 || e.Input == "" && e.Output == nil:
			bad++
		case e.Session != h.session:
			into.add(e)
		}
	}
	if bad > 0 {
		h.log.Warn("history: lines passed over", "file", name, "lines", bad)
	}
	return lines.Err()
}

// input records what a cell was, before it runs: it may be the last thing the process does.
func (h *history) input(line int, code string) {
	if code != "" && len(code) < maxRecord {
		h.keep(entry{Session: h.session, Line: line, Input: code})
	}
}

// output records the text of a cell's value.
func (h *history) output(line int, text string) {
	if len(text) < maxRecord {
		h.keep(entry{Session: h.session, Line: line, Output: &text})
	}
}

func (h *history) keep(e entry) {
	line, err := json.Marshal(e)
	if err != nil || len(line) >= maxRecord {
		return
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.own.add(e)
	if h.path != "" {
		h.complain(appendFile(h.path, append(line, '\n')))
	}
}

func appendFile(path string, line []byte) error {
	f, err := os.OpenFile(path, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = f.Write(line)
	return errors.Join(err, f.Close())
}

// add appends an input, or gives an output to the input it belongs to. The oldest half goes when there are too many.
func (r *record) add(e entry) {
	if e.Output == nil {
		if len(*r) >= 2*maxHistory {
			*r = slices.Clone((*r)[maxHistory:])
		}
		*r = append(*r, e)
		return
	}
	for i, known := range slices.Backward(*r) {
		if known.Session == e.Session && known.Line == e.Line {
			(*r)[i].Output = e.Output
			return
		}
	}
}

// all returns the entries of all sessions, this one last.
func (h *history) all() []entry {
	earlier := h.earlier()
	h.mu.Lock()
	defer h.mu.Unlock()
	return slices.Concat(earlier, h.own)
}

// sessionAt resolves a session number of a request: positive numbers are meant as they are, 0 is this session, -1 the one before.
func (h *history) sessionAt(n int64) int64 {
	if n > 0 {
		return n
	}
	before := []int64{h.session}
	for _, e := range h.earlier() {
		if e.Session < h.session {
			before = append(before, e.Session)
		}
	}
	slices.Sort(before)
	before = slices.Compact(before)
	if at := int64(len(before)) - 1 + n; at >= 0 {
		return before[at]
	}
	return 0 // there was no such session
}
