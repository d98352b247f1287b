package cell

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/scanner"
	"go/token"
	"strings"
	"unicode/utf8"
)

// source is the text of one cell, parsed as two files of the same layout: in each, what belongs to the other is blanked out, so an offset in a file less
// the length of its head is an offset in the cell.
type source struct {
	number int
	path   string // of a file of a package, which is no cell
	text   string
	decls  *ast.File     // imports, types, constants, functions and methods
	body   *ast.FuncDecl // a function that holds the statements
	pieces []piece
}

const (
	declsHead = "package cell;"
	bodyHead  = "package cell;func _(){"
	bodyTail  = "\n}"
)

// files remembers which cell a position of the shared file set belongs to.
type files struct {
	set     *token.FileSet
	origins map[*token.File]origin
}

// origin is the cell that a file is made of, and how much stands before the cell's text.
type origin struct {
	source *source
	head   int
}

func newFiles() *files {
	return &files{token.NewFileSet(), map[*token.File]origin{}}
}

// parse splits and parses a cell.
func (f *files) parse(number int, text string) (*source, problems) {
	s := &source{number: number, text: text}
	pieces, bad := split(text)
	if bad != nil {
		return nil, problems{{place: s.place(bad.offset), message: fmt.Sprintf("%q closes nothing", bad.token)}}
	}
	s.pieces = pieces
	var found problems
	decls, errs := f.parseFile(s, declsHead, s.keep(func(p piece) bool { return p.kind != token.ILLEGAL }), "")
	found = append(found, errs...)
	body, errs := f.parseFile(s, bodyHead, s.keep(func(p piece) bool { return p.kind == token.ILLEGAL }), bodyTail)
	found = append(found, errs...)
	if len(found) > 0 {
		return nil, s.explain(found)
	}
	s.decls, s.body = decls, body.Decls[0].(*ast.FuncDecl)
	return s, nil
}

// keep returns the cell's text with the pieces that are not wanted blanked out.
func (s *source) keep(wanted func(piece) bool) string {
	out := []byte(s.text)
	for _, p := range s.pieces {
		if wanted(p) {
			continue
		}
		for i := p.off; i < p.end; i++ {
			if out[i] != '\n' {
				out[i] = ' '
			}
		}
	}
	return string(out)
}

// parseFile parses one of the two files of a cell.
func (f *files) parseFile(s *source, head, text, tail string) (*ast.File, problems) {
	file, err := parser.ParseFile(f.set, "cell", head+text+tail, parser.AllErrors|parser.SkipObjectResolution|parser.ParseComments)
	if file != nil && file.FileStart.IsValid() {
		known := f.set.File(file.FileStart)
		known.AddLineColumnInfo(len(head), fmt.Sprintf("cell %d", s.number), 1, 1) // for positions inside messages of go/types
		f.origins[known] = origin{s, len(head)}
	}
	return file, s.syntaxErrors(err, len(head))
}

// syntaxErrors are what the parser complains about in a file whose first bytes are not of the source.
func (s *source) syntaxErrors(err error, head int) problems {
	list, _ := err.(scanner.ErrorList)
	var found problems
	for _, e := range list {
		place := s.place(e.Pos.Offset - head)
		found = append(found, problem{place: place, message: syntaxMessage(e.Msg, e.Pos.Offset-head >= len(s.text))})
	}
	return found
}

// syntaxMessage words an error of the parser, which may have run into the tail that this package has added.
func syntaxMessage(msg string, atEnd bool) string {
	if atEnd || strings.Contains(msg, "found 'EOF'") {
		if before, _, ok := strings.Cut(msg, ", found"); ok {
			return before + ", found the end of the cell"
		}
	}
	return msg
}

// place returns the position of a byte offset; columns count characters.
func (s *source) place(offset int) Place {
	before := s.text[:min(max(offset, 0), len(s.text))]
	start := strings.LastIndexByte(before, '\n') + 1
	return Place{s.number, s.path, 1 + strings.Count(before, "\n"), 1 + utf8.RuneCountInString(before[start:])}
}

// place returns the position in its cell of a position in the file set; the zero Place if it is in no cell.
func (f *files) place(pos token.Pos) Place {
	file := f.set.File(pos)
	o, ok := f.origins[file]
	if !ok {
		return Place{}
	}
	return o.source.place(file.Offset(pos) - o.head)
}

// offset returns the byte offset in its cell of a position in the file set, or -1.
func (f *files) offset(pos token.Pos) int {
	file := f.set.File(pos)
	o, ok := f.origins[file]
	if !ok {
		return -1
	}
	return file.Offset(pos) - o.head
}

func (p Place) String() string {
	if p.File != "" {
		return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
	}
	return fmt.Sprintf("cell %d, line %d, column %d", p.Cell, p.Line, p.Column)
}

// notExpression says that a cell is something else than one expression, if it is.
func (s *source) notExpression() problems {
	list := s.body.Body.List
	if len(s.pieces) == 1 && len(list) == 1 {
		if _, ok := list[0].(*ast.ExprStmt); ok {
			return nil
		}
	}
	return problems{{place: s.place(0), message: "one expression is wanted here; it declares and assigns nothing"}}
}
