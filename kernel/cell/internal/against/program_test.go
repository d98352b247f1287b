package against

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"regexp"
	"slices"
	"strings"

	"foreplane/kernel"
)

// program is a Go program whose parts can be put together again: as cells, or as one of many in an executable.
type program struct {
	name    string
	imports string
	decls   string   // all other declarations, without main
	funcs   []string // of these, the functions and methods
	body    string   // of main
}

// parseProgram takes a file of package main to pieces.
func parseProgram(name, source string) (program, error) {
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, name, source, parser.ParseComments|parser.SkipObjectResolution)
	if err != nil {
		return program{}, err
	}
	text := func(from, to token.Pos) string { return source[set.Position(from).Offset:set.Position(to).Offset] }
	p := program{name: name}
	for _, d := range file.Decls {
		f, isFunc := d.(*ast.FuncDecl)
		g, isGen := d.(*ast.GenDecl)
		switch {
		case isFunc && f.Recv == nil && f.Name.Name == "main":
			p.body = text(f.Body.Lbrace+1, f.Body.Rbrace)
		case isGen && g.Tok == token.IMPORT:
			p.imports += text(d.Pos(), d.End()) + "\n"
		default:
			if isFunc {
				p.funcs = append(p.funcs, text(d.Pos(), d.End()))
			}
			p.decls += text(d.Pos(), d.End()) + "\n\n"
		}
	}
	return p, nil
}

// ways are the ways in which a program becomes cells.
var ways = []struct {
	name  string
	cells func(program) []string
}{
	{"one cell", func(p program) []string { return []string{p.imports + p.decls + p.body} }},
	{"cells that declare each function again", func(p program) []string {
		return slices.Concat([]string{p.imports + p.decls}, p.funcs, []string{p.body})
	}},
	{"function", func(p program) []string {
		return []string{p.imports + p.decls + "func program() {" + p.body + "}\n\nprogram()"}
	}},
}

// end is how a program ended and what it printed until then.
type end struct {
	stdout, stderr string
	panic          string // what it panicked with
}

// verdict on a program: pass, refused or wrong, and why.
type verdict struct {
	kind   string
	reason string
}

const (
	pass    = "pass"
	refused = "refused"
	wrong   = "wrong"
)

// plain is put above programs: they mean their quotients of whole numbers, and ^, as written.
const plain = "//foreplane:plain\n"

// judge compares a program as cells with what it does compiled.
func judge(h *host, cells []string, want end) verdict {
	var got end
	for i, code := range cells {
		a, err := h.run(order{Fresh: i == 0, Code: plain + code, Number: i + 1})
		got.stdout += a.Stdout
		got.stderr += a.Stderr
		switch {
		case err != nil:
			return verdict{wrong, err.Error()}
		case a.Err == nil:
			continue
		case a.Err.Name == "Refused":
			return verdict{refused, a.Err.Message}
		case a.Err.Name != "Panic":
			return verdict{wrong, a.Err.Error()}
		}
		got.panic = panicText(a.Err)
		break
	}
	if got != want {
		return verdict{wrong, difference(got, want)}
	}
	return verdict{kind: pass}
}

var place = regexp.MustCompile(`^cell \d+, line \d+, column \d+: `)

// panicText is what a cell panicked with, without its place.
func panicText(e *kernel.CellError) string {
	return bare(place.ReplaceAllString(e.Message, ""))
}

// bare takes words from a message that say nothing.
func bare(message string) string {
	return strings.TrimPrefix(strings.TrimPrefix(message, "runtime error: "), "invalid memory address or ")
}

// difference shows the first line in which two ends differ.
func difference(got, want end) string {
	for _, s := range []struct{ name, got, want string }{
		{"stdout", got.stdout, want.stdout}, {"panic", got.panic, want.panic}, {"stderr", got.stderr, want.stderr},
	} {
		if s.got == s.want {
			continue
		}
		g, w := strings.Split(s.got, "\n"), strings.Split(s.want, "\n")
		for i := range max(len(g), len(w)) {
			if a, b := line(g, i), line(w, i); a != b {
				text := fmt.Sprintf("%s line %d: cell %.150q, compiled %.150q", s.name, i+1, a, b)
				if s.name == "stdout" && got.panic != want.panic {
					text += fmt.Sprintf(" (cell panics with %.150q)", got.panic)
				}
				return text
			}
		}
	}
	return ""
}

func line(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return "(ended)"
}
