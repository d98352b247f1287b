package dimension

import (
	_ "embed"
	"fmt"
	"go/types"
	"strings"
)

// libraryText has the functions, methods, constants and types of other libraries whose dimensions their declarations do not tell.
//
//go:embed library.txt
var libraryText string

// library is that text, one line a name. Its entries are read when they are asked for.
type library map[string]string

func newLibrary() library {
	l := library{}
	for line := range strings.Lines(libraryText) {
		line, _, _ = strings.Cut(line, "#")
		if name, text, ok := strings.Cut(strings.TrimSpace(line), ": "); ok {
			l[name] = strings.TrimSpace(text)
		}
	}
	return l
}

// opaque returns the shape of a type about which the library knows more than its declaration says.
func (l library) opaque(c *Checker, o *types.TypeName) (shape, bool) {
	if o.Pkg() == nil {
		return nil, false
	}
	text, ok := l["type "+o.Pkg().Path()+"."+o.Name()]
	if !ok {
		return nil, false
	}
	p := &signatureParser{c: c, soft: true, vars: map[string]term{}, rest: strings.Fields(text)}
	return p.shape(), true
}

// function returns the shape of a function or method by its full name.
func (l library) function(c *Checker, fullName string) (*function, bool) {
	text, ok := l[fullName]
	if !ok {
		return nil, false
	}
	p := &signatureParser{c: c, vars: map[string]term{}, rest: strings.Fields(text)}
	return p.function(), true
}

// signatureParser reads shapes as library.txt writes them.
type signatureParser struct {
	c    *Checker
	soft bool
	vars map[string]term
	rest []string
}

func (p *signatureParser) next() string {
	if len(p.rest) == 0 {
		panic("dimension: library.txt: a signature ends too early")
	}
	word := p.rest[0]
	p.rest = p.rest[1:]
	return word
}

// function reads parameters, an arrow and results.
func (p *signatureParser) function() *function {
	f := &function{}
	for p.rest[0] != "->" {
		if word, ok := strings.CutPrefix(p.rest[0], "..."); ok {
			p.rest[0], f.variadic = word, true
			f.params = append(f.params, &list{p.shape()})
			continue
		}
		f.params = append(f.params, p.shape())
	}
	p.next()
	for len(p.rest) > 0 && p.rest[0] != ")" {
		f.results = append(f.results, p.shape())
	}
	f.names = make([]string, len(f.params))
	return f
}

func (p *signatureParser) shape() shape {
	word := p.next()
	switch {
	case word == "_":
		return nil
	case word == "func(":
		f := p.function()
		p.next()
		return f
	case word == "map":
		return &mapping{p.shape(), p.shape()}
	case strings.HasPrefix(word, "[]"):
		p.rest = append([]string{word[2:]}, p.rest...)
		return &list{p.shape()}
	}
	return p.scalar(word)
}

// scalar reads a product such as a*b^1/2, a variable, the name of a quantity, 1, number for one made of literals, or * for what fits all.
func (p *signatureParser) scalar(word string) shape {
	if word == "*" {
		return &scalar{zero: true, bare: true}
	}
	if word == "number" {
		return &scalar{bare: true, count: true}
	}
	if k, ok := p.c.table.byName[word]; ok {
		return &scalar{term: term{dim: k.Dimension}, kind: k.Name, loose: true}
	}
	out := &scalar{}
	for part := range strings.SplitSeq(word, "*") {
		name, power, _ := strings.Cut(part, "^")
		exp := one
		if power != "" {
			var num, den = 0, 1
			if n, err := fmt.Sscanf(power, "%d/%d", &num, &den); n == 0 {
				panic("dimension: library.txt: " + word + ": " + err.Error())
			}
			exp = Frac(num, den)
		}
		if name == "1" {
			continue
		}
		if _, ok := p.vars[name]; !ok {
			p.vars[name] = termOf(p.c.solver.fresh(p.soft))
		}
		out.term = out.term.times(p.vars[name], exp)
	}
	return out
}
