package kernel

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"unicode/utf8"
)

// Limits of what one cell prints. Front ends keep all text of a notebook in memory, and few people read the middle of so much.
const (
	foldHead = 16 << 20  // bytes that are published as they come, unless [Options.Fold] is set
	foldTail = 64 << 10  // bytes at the end that are published when the cell has ended
	foldMemo = 256 << 10 // bytes that are kept in memory before a file is begun
	foldFile = 4 << 30   // bytes of a file, which must not fill the disk
)

// folder gives the cells that print too much a place for all their text.
type folder struct {
	keep string // what the names of files that stay begin with; empty if they go with the kernel
	from int64  // bytes of one cell that are published as they come

	mu   sync.Mutex
	made string // the temporary folder, once there is one
}

// create makes the file of a cell.
func (f *folder) create(number int) (*os.File, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	name := fmt.Sprintf("output-of-cell-%d.txt", number)
	if f.keep != "" {
		return os.Create(f.keep + name)
	}
	if f.made == "" {
		made, err := os.MkdirTemp("", "foreplane-output-")
		if err != nil {
			return nil, err
		}
		f.made = made
	}
	return os.Create(filepath.Join(f.made, name))
}

// remove removes the files that are not to stay.
func (f *folder) remove() {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.made != "" {
		os.RemoveAll(f.made)
	}
}

// fold is the account of what one cell has printed.
type fold struct {
	folder *folder
	number int
	print  func(name, text string)

	mu      sync.Mutex
	printed int64  // bytes in all
	memo    []byte // all text, before there is a file
	file    *os.File
	to      *bufio.Writer // the file
	err     error         // the file is not complete
	folded  bool
	tail    []stretch
	length  int // of the tail
	over    bool
}

// stretch is text of one stream.
type stretch struct {
	name string
	text []byte
}

// take enters text and prints what of it is to be seen now.
func (f *fold) take(name, text string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.printed += int64(len(text))
	f.save(text)
	if f.folded {
		f.remember(name, text)
		return
	}
	if f.printed <= f.folder.from {
		f.print(name, text)
		return
	}
	f.folded = true
	shown := intact([]byte(text[:len(text)-int(f.printed-f.folder.from)]))
	f.print(name, text[:shown])
	f.print("stderr", f.notice())
	f.remember(name, text[shown:])
}

// save keeps all text, in memory at first.
func (f *fold) save(text string) {
	if f.err != nil {
		return
	}
	if f.file == nil && f.printed <= min(foldMemo, f.folder.from) {
		f.memo = append(f.memo, text...)
		return
	}
	if f.file == nil {
		if f.file, f.err = f.folder.create(f.number); f.err != nil {
			return
		}
		f.to = bufio.NewWriter(f.file)
		_, f.err = f.to.Write(f.memo)
		f.memo = nil
	}
	if f.err == nil && f.printed > foldFile {
		f.err = fmt.Errorf("it would be longer than %d GiB", foldFile>>30)
	}
	if f.err == nil {
		_, f.err = f.to.WriteString(text)
	}
	if f.err == nil && f.over {
		f.err = f.to.Flush()
	}
}

// notice says that the text is folded from here on, and where all of it is.
func (f *fold) notice() string {
	if f.err != nil {
		return fmt.Sprintf("\n(cell %d prints too much: what follows is folded; its full text is not kept: %v)\n", f.number, f.err)
	}
	return fmt.Sprintf("\n(cell %d prints too much: what follows is folded; its full text goes to %s)\n", f.number, f.file.Name())
}

// remember keeps the end of the text, unless the cell has ended and it would not be printed any more.
func (f *fold) remember(name, text string) {
	if f.over {
		return
	}
	if last := len(f.tail) - 1; last < 0 || f.tail[last].name != name {
		f.tail = append(f.tail, stretch{name: name})
	}
	last := &f.tail[len(f.tail)-1]
	last.text = append(last.text, text...)
	if f.length += len(text); f.length > 2*foldTail { // not at every line
		f.shorten()
	}
}

func (f *fold) shorten() {
	for f.length > foldTail {
		first := &f.tail[0]
		cut := min(len(first.text), f.length-foldTail)
		for cut < len(first.text) && !utf8.RuneStart(first.text[cut]) {
			cut++
		}
		f.length -= cut
		if first.text = first.text[cut:]; len(first.text) == 0 {
			f.tail = f.tail[1:]
		}
	}
}

var errFoldOver = errors.New("the cell has ended")

// end prints the end of what was folded, when the cell has ended. A file stays only if it is needed.
func (f *fold) end() {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.over, f.memo = true, nil
	if f.file != nil && !f.folded {
		f.file.Close()
		os.Remove(f.file.Name())
	}
	if !f.folded {
		f.err = errFoldOver
		return
	}
	f.shorten()
	if f.err == nil {
		f.err = f.to.Flush()
	}
	left := f.printed - f.folder.from - int64(f.length)
	text := fmt.Sprintf("(%d bytes are left out here)\n", left)
	if f.err != nil {
		text = fmt.Sprintf("(%d bytes are left out here; the full text is not kept: %v)\n", left, f.err)
	}
	f.print("stderr", text)
	for _, s := range f.tail {
		f.print(s.name, string(s.text))
	}
	f.tail = nil
}
