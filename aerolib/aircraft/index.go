package aircraft

import (
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// index holds the line of each key of a file, by its path such as surfaces[1].stations[2].chord.
type index map[string]int

// has reports whether the file has a key.
func (x index) has(key string) bool { return x[key] > 0 }

// of returns the line of a key; of one that is missing, the line of what should contain it, and 1 at last.
func (x index) of(key string) int {
	for key != "" {
		if line, ok := x[key]; ok {
			return line
		}
		key = key[:max(0, strings.LastIndexAny(key, ".["))]
	}
	return 1
}

// indexLines walks through the syntax of a file. Only positions come from here; what the file says is read by Unmarshal.
func indexLines(text []byte) (index, error) {
	x, counts, at := index{}, map[string]int{}, ""
	var p unstable.Parser
	p.Reset(text)
	for p.NextExpression() {
		switch e := p.Expression(); e.Kind {
		case unstable.Table:
			at = x.path(&p, "", e.Key(), counts, false)
		case unstable.ArrayTable:
			at = x.path(&p, "", e.Key(), counts, true)
		case unstable.KeyValue:
			x.value(&p, x.path(&p, at, e.Key(), nil, false), e.Value())
		}
	}
	return x, p.Error()
}

// path returns the path of a dotted key below another, and notes its line. Lists of tables have the number of the last one, of which another is begun if wanted.
func (x index) path(p *unstable.Parser, at string, key unstable.Iterator, counts map[string]int, another bool) string {
	for key.Next() {
		n := key.Node()
		at = join(at, string(n.Data))
		x.note(at, p.Shape(n.Raw).Start.Line)
		if another && key.IsLast() {
			counts[at]++
		}
		if count := counts[at]; count > 0 {
			at += fmt.Sprintf("[%d]", count)
			x.note(at, p.Shape(n.Raw).Start.Line)
		}
	}
	return at
}

func (x index) note(key string, line int) {
	if x[key] == 0 {
		x[key] = line
	}
}

// value notes the lines of what a list or an inline table holds.
func (x index) value(p *unstable.Parser, at string, v *unstable.Node) {
	children := v.Children()
	switch v.Kind {
	case unstable.InlineTable:
		for children.Next() {
			n := children.Node()
			key := x.path(p, at, n.Key(), nil, false)
			x.note(at, x[key]) // an item of a list is where its first key is
			x.value(p, key, n.Value())
		}
	case unstable.Array:
		for i := 1; children.Next(); {
			if n := children.Node(); n.Kind != unstable.Comment {
				x.value(p, fmt.Sprintf("%s[%d]", at, i), n)
				i++
			}
		}
	}
}
