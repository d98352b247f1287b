package worker

import (
	"io"
	"strings"
	"unicode/utf8"
)

// pump reads one text stream of a worker to its end, delivering text between marks and stopping at each mark.
type pump struct {
	from    io.Reader
	key     []byte
	deliver func(text string) // valid UTF-8
	arrive  func(mark uint64)
}

func (p *pump) run() {
	buffer := make([]byte, 64<<10)
	var rest []byte // the beginning of a mark or of a rune
	for {
		n, err := p.from.Read(buffer[len(rest):])
		text := buffer[:len(rest)+n]
		rest = p.consume(text)
		if err != nil {
			p.text(rest)
			return
		}
		copy(buffer, rest)
		rest = buffer[:len(rest)]
	}
}

// consume delivers all it can and returns what needs more bytes to be understood.
func (p *pump) consume(text []byte) (rest []byte) {
	for {
		before, mark, after, found := cutMark(text, p.key)
		if !found {
			whole := wholeRunes(before)
			p.text(text[:whole])
			return text[whole:]
		}
		p.text(before)
		p.arrive(mark)
		text = after
	}
}

func (p *pump) text(text []byte) {
	if len(text) > 0 {
		p.deliver(strings.ToValidUTF8(string(text), "\uFFFD"))
	}
}

// wholeRunes returns the length of text without a last rune that is cut off.
func wholeRunes(text []byte) int {
	for i := len(text) - 1; i >= 0 && i >= len(text)-utf8.UTFMax; i-- {
		if utf8.RuneStart(text[i]) {
			if utf8.FullRune(text[i:]) {
				break
			}
			return i
		}
	}
	return len(text)
}
