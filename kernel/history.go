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
	maxHistory = 10_000   // inputs in memory
	maxRecord  = 1 << 20  // bytes of one line of the file; longer ones are not kept
	maxFile    = 16 << 20 // bytes of the file before it is set aside
)

// history keeps the inputs of this session and, through a file of JSON lines, of earlier ones.
//
// Every line is appended by one write, so kernels that share the file do not disturb each other. When a kernel starts and finds the file over maxFile,
// it renames it to end in ".old", in place of an earlier one: the last two files are read. A session is numbered by the millisecond it began in, which
// needs no agreement between kernels.
type history struct {
	path    string // empty: in memory only
	log     *slog.Logger
	session int64

	mu      sync.Mutex
	entries []entry // in order of arrival
}

// entry is one input and, once there is one, the text of its value. In the file the two are lines of their own.
type entry struct {
	Session int64   `json:"session"`
	Line    int     `json:"line"`
	Input   string  `json:"input,omitempty"`
	Output  *string `json:"output,omitempty"`
}

// openHistory reads the history in path. What cannot be read is logged and passed over: a kernel without history is better than none.
func openHistory(path string, now time.Time, log *slog.Logger) *history {
	h := &history{path: path, log: log, session: now.UnixMilli()}
	if path == "" {
		return h
	}
	h.complain(os.MkdirAll(filepath.Dir(path), 0o700))
	h.setAside()
	for _, name := range []string{h.old(), path} {
		h.complain(h.load(name))
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

// load reads one file. Lines that make no sense, such as one that was cut off when a disk was full, are passed over.
func (h *history) load(name string) error {
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
		if json.Unmarshal(lines.Bytes(), &e) != nil || e.Line < 1 {
			bad++
			continue
		}
		h.insert(e)
	}
	if bad > 0 {
		h.log.Warn("history: lines passed over", "file", name, "lines", bad)
	}
	return lines.Err()
}

// input records what a cell was, before it runs: it may be the last thing the process does.
func (h *history) input(line int, code string) {
	h.record(entry{Session: h.session, Line: line, Input: code})
}

// output records the text of a cell's value.
func (h *history) output(line int, text string) {
	h.record(entry{Session: h.session, Line: line, Output: &text})
}

func (h *history) record(e entry) {
	line, err := json.Marshal(e)
	if err != nil || len(line) >= maxRecord || e.Input == "" && e.Output == nil {
		return
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.insert(e)
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

// insert adds an entry, or the output to the input it belongs to.
func (h *history) insert(e entry) {
	if e.Input != "" {
		if len(h.entries) >= 2*maxHistory {
			h.entries = slices.Clone(h.entries[maxHistory:])
		}
		h.entries = append(h.entries, e)
		return
	}
	for i := len(h.entries) - 1; i >= 0; i-- {
		if h.entries[i].Session == e.Session && h.entries[i].Line == e.Line {
			h.entries[i].Output = e.Output
			return
		}
	}
}

// all returns the entries in order.
func (h *history) all() []entry {
	h.mu.Lock()
	defer h.mu.Unlock()
	return slices.Clone(h.entries)
}

// sessionAt resolves a session number of a request: positive numbers are meant as they are, 0 is this session, -1 the one before.
func (h *history) sessionAt(n int64) int64 {
	if n > 0 {
		return n
	}
	seen := []int64{h.session}
	for _, e := range h.all() {
		seen = append(seen, e.Session)
	}
	slices.Sort(seen)
	seen = slices.Compact(seen)
	at, _ := slices.BinarySearch(seen, h.session)
	if int64(at)+n < 0 {
		return 0 // no such session
	}
	return seen[int64(at)+n]
}
