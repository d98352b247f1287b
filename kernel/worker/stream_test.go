package worker

import (
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"
)

// TestPump checks that marks are found and text stays whole however the bytes arrive.
func TestPump(t *testing.T) {
	key := []byte("\xFF23456789abcdefg")
	mark := func(n uint64) string { return string(appendMark(nil, key, n)) }
	for in, want := range map[string]string{
		"":                           "",
		"plain":                      "plain",
		"a" + mark(1) + "b":          "a[1]b",
		mark(1) + mark(0xFFFF) + "!": "[1][65535]!",
		"é€😀" + mark(1) + "é":        "é€😀[1]é",
		"half \xE2\x82" + mark(7):    "half \uFFFD[7]",
		"\xFF almost \xFF2345!":      "\uFFFD almost \uFFFD2345!",
		"cut \xFF2345":               "cut \uFFFD2345",
		mark(1)[:keySize+1]:          "\uFFFD23456789abcdefg\x00",
	} {
		for name, from := range map[string]io.Reader{
			"whole": strings.NewReader(in), "halves": iotest.HalfReader(strings.NewReader(in)), "bytes": iotest.OneByteReader(strings.NewReader(in)),
		} {
			var got strings.Builder
			p := pump{from: from, key: key, deliver: func(text string) { got.WriteString(text) }}
			p.arrive = func(mark uint64) { fmt.Fprintf(&got, "[%d]", mark) }
			p.run()
			if got.String() != want {
				t.Errorf("%q in %s: got %q, want %q", in, name, got.String(), want)
			}
		}
	}
}
