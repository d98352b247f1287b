package kernel

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

// printer is a fold that remembers what it prints.
type printer struct {
	*fold
	all     strings.Builder
	streams map[string]*strings.Builder
}

func newPrinter(t *testing.T, keep string) *printer {
	p := &printer{streams: map[string]*strings.Builder{"stdout": {}, "stderr": {}}}
	f := &folder{keep: keep, from: foldHead}
	t.Cleanup(f.remove)
	p.fold = &fold{folder: f, number: 7, print: func(name, text string) {
		p.all.WriteString(text)
		p.streams[name].WriteString(text)
	}}
	return p
}

// lines prints lines of 16 bytes, ten at a time.
func (p *printer) lines(from, to int) {
	for i := from; i < to; i += 10 {
		text := ""
		for j := range 10 {
			text += fmt.Sprintf("line %07d π\n", i+j)
		}
		p.take("stdout", text)
	}
}

func TestFoldLeavesMostCellsAlone(t *testing.T) {
	dir := t.TempDir()
	p := newPrinter(t, dir+"/")
	p.lines(0, 100_000)
	p.end()
	if n := p.streams["stdout"].Len(); n != 1_600_000 || p.streams["stderr"].Len() > 0 {
		t.Errorf("%d bytes, and %q", n, p.streams["stderr"].String())
	}
	if left, _ := os.ReadDir(dir); len(left) > 0 {
		t.Errorf("a file was left: %v", left)
	}
}

// TestFold holds that head and tail are printed, that the file has all, and that the account is right.
func TestFold(t *testing.T) {
	dir := t.TempDir()
	p := newPrinter(t, dir+"/")
	const n = 1_200_000
	p.lines(0, n)
	p.end()
	path := dir + "/output-of-cell-7.txt"
	file, err := os.ReadFile(path)
	if err != nil || len(file) != 16*n || !strings.HasSuffix(string(file), "line 1199999 π\n") || !strings.HasPrefix(string(file), "line 0000000 π\nline 0000001") {
		t.Errorf("the file has %d bytes, %v", len(file), err)
	}
	text := p.all.String()
	head, rest, found := strings.Cut(text, "\n(cell 7 prints too much: what follows is folded; its full text goes to "+path+")\n")
	if !found || head != string(file[:len(head)]) || foldHead-len(head) > 16 {
		t.Errorf("head of %d bytes", len(head))
	}
	var left int
	if _, err := fmt.Sscanf(rest, "(%d bytes are left out here)\n", &left); err != nil {
		t.Error(err)
	}
	_, tail, _ := strings.Cut(rest, "\n")
	if !strings.HasSuffix(string(file), tail) || len(tail) < foldTail-16 || len(head)+left+len(tail) < len(file)-16 || len(head)+left+len(tail) > len(file) {
		t.Errorf("head %d, left out %d, tail %d of %d bytes", len(head), left, len(tail), len(file))
	}
	p.lines(0, 10)
	if p.all.String() != text {
		t.Error("a goroutine goes on printing what is folded")
	}
}

func TestFoldWithoutFile(t *testing.T) {
	p := newPrinter(t, "/no/such/folder/")
	p.lines(0, 1_200_000)
	p.end()
	if said := p.streams["stderr"].String(); strings.Count(said, "the full text is not kept")+strings.Count(said, "its full text is not kept") != 2 {
		t.Errorf("said %q", said)
	}
}

// TestFoldLate holds that goroutines are folded, too, when their cell has ended.
func TestFoldLate(t *testing.T) {
	p := newPrinter(t, t.TempDir()+"/")
	p.end()
	p.lines(0, 1_200_000)
	if n := p.streams["stdout"].Len(); n > foldHead || n < foldHead-160 || !strings.Contains(p.streams["stderr"].String(), "the cell has ended") {
		t.Errorf("%d bytes, and %q", n, p.streams["stderr"].String())
	}
}

func TestFolderGoesWithTheKernel(t *testing.T) {
	var f folder
	file, err := f.create(1)
	if err != nil {
		t.Fatal(err)
	}
	file.Close()
	f.remove()
	if _, err := os.Stat(file.Name()); err == nil {
		t.Error("it stays")
	}
}
