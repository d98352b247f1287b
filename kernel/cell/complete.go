package cell

import (
	"cmp"
	"go/ast"
	"go/scanner"
	"go/token"
	"go/types"
	"slices"
	"strings"
	"unicode/utf8"

	"foreplane/kernel"
)

// Complete proposes continuations of unfinished code at byte offset cursor, by what the checker knows at that place: members after a dot, field names
// in a literal of a struct, import paths in an import, and otherwise names, the nearest first.
func (f *Front) Complete(code string, cursor int) (c kernel.Completion) {
	cursor = min(max(cursor, 0), len(code))
	c = kernel.Completion{Start: cursor, End: cursor}
	defer func() { _ = recover() }() // go/types may stumble over code that is half there: then there is no answer
	return f.complete(code, cursor)
}

func (f *Front) complete(code string, cursor int) kernel.Completion {
	f.mu.Lock()
	defer f.mu.Unlock()
	spot := spotAt(code, cursor)
	l := list{front: f, prefix: code[spot.start:spot.cursor], seen: map[string]bool{}}
	switch spot.kind {
	case inImport:
		l.addPaths()
	case afterDot:
		l.addMembers(f.unfinished(code, spot))
	case inName:
		l.addNames(f.unfinished(code, spot))
	}
	return kernel.Completion{Start: spot.start, End: spot.cursor, Items: l.items()}
}

// placeholder stands for the name to come.
const placeholder = "nameToCome"

// unfinished glances at code whose piece around the cursor is cut there, with a name put in.
func (f *Front) unfinished(code string, s spot) *glance {
	fixed, at := balance(code, s.start)
	return f.glance(cut(fixed, at, at+s.cursor-s.start, placeholder))
}

// cut replaces what stands from start to the end of its piece by a name, closes the brackets that are open there, and returns where the name is.
func cut(code string, start, cursor int, name string) (string, int) {
	head, at := balance(code[:start]+name, start)
	line, _, _ := strings.Cut(code[cursor:], "\n")
	if strings.TrimSpace(line) == "" && len(head) == start+len(name) {
		return head + code[cursor:], at // nothing is open here: the next line starts a new piece, whatever the parser makes of it
	}
	end := cursor
	for _, p := range statements(code) {
		if p.off < cursor && cursor <= p.end {
			end = p.end
		}
	}
	return head + "\n" + code[end:], at
}

// spot is a place in a cell where something is being written.
type spot struct {
	kind          spotKind
	start, cursor int // the beginning of the name or path, and where it is so far
}

type spotKind int

const (
	nowhere spotKind = iota // in a comment, a literal, a new name, or behind an operand
	inName
	afterDot
	inImport
)

// spotAt tells what is being written at an offset, from the tokens before it.
func spotAt(code string, cursor int) spot {
	cursor = min(max(cursor, 0), len(code))
	for cursor > 0 && cursor < len(code) && !utf8.RuneStart(code[cursor]) {
		cursor--
	}
	var prev word
	imports := importState{}
	for w := range words(code) {
		if w.off >= cursor || w.tok == token.EOF {
			break
		}
		if w.holds(cursor) {
			return w.spot(prev, imports.open, cursor)
		}
		if w.tok != token.COMMENT {
			prev = w
		}
		imports.next(w.tok)
	}
	if prev.endsOperand() {
		return spot{nowhere, cursor, cursor}
	}
	return word{off: cursor, end: cursor, tok: token.IDENT}.spot(prev, false, cursor)
}

// word is a token with its text.
type word struct {
	off, end int
	tok      token.Token
	text     string
}

// words scans code, comments included.
func words(code string) func(yield func(word) bool) {
	return func(yield func(word) bool) {
		file := token.NewFileSet().AddFile("", -1, len(code))
		var s scanner.Scanner
		s.Init(file, []byte(code), func(token.Position, string) {}, scanner.ScanComments)
		for {
			pos, tok, text := s.Scan()
			off := file.Offset(pos)
			if !yield(word{off, min(off+len(text), len(code)), tok, text}) || tok == token.EOF {
				return
			}
		}
	}
}

// holds reports whether text written at an offset behind the first byte would belong to the word.
func (w word) holds(cursor int) bool {
	switch {
	case cursor < w.end:
		return w.tok != token.SEMICOLON
	case cursor > w.end:
		return false
	}
	switch w.tok {
	case token.COMMENT:
		return strings.HasPrefix(w.text, "//") || len(w.text) < 4 || !strings.HasSuffix(w.text, "*/")
	case token.STRING, token.CHAR:
		return len(w.text) < 2 || w.text[len(w.text)-1] != w.text[0]
	}
	return w.tok == token.IDENT || w.tok.IsKeyword() || w.tok.IsLiteral()
}

// spot tells what a cursor in the word means, by the word before.
func (w word) spot(prev word, importing bool, cursor int) spot {
	switch {
	case w.tok == token.STRING && importing:
		return spot{inImport, w.off + 1, cursor}
	case w.tok != token.IDENT && !w.tok.IsKeyword():
		return spot{nowhere, cursor, cursor}
	case prev.tok == token.PERIOD:
		return spot{afterDot, w.off, cursor}
	}
	switch prev.tok {
	case token.FUNC, token.TYPE, token.VAR, token.CONST, token.IMPORT, token.PACKAGE, token.GOTO:
		return spot{nowhere, cursor, cursor}
	}
	return spot{inName, w.off, cursor}
}

// endsOperand reports whether an operator, not a name, goes on behind the word.
func (w word) endsOperand() bool {
	switch w.tok {
	case token.RPAREN, token.RBRACK, token.RBRACE:
		return true
	}
	return w.tok.IsLiteral()
}

// importState follows tokens through import declarations.
type importState struct{ open, group bool }

func (s *importState) next(t token.Token) {
	switch t {
	case token.IMPORT:
		*s = importState{open: true}
	case token.LPAREN:
		s.group = true
	case token.RPAREN:
		*s = importState{}
	case token.SEMICOLON:
		s.open = s.open && s.group
	}
}

// list collects candidates. Of equal names the first wins.
type list struct {
	front  *Front
	prefix string
	seen   map[string]bool
	found  []ranked

	members bool // ranks are depths, not distances
}

// ranked is a candidate with its distance from what is being written.
type ranked struct {
	kernel.Candidate
	rank int
}

const (
	rankUnit    = iota // units that fit
	rankCell           // locals and what the cell declares
	rankSession        // what earlier cells have declared
	rankPrelude        // what is there without import
	rankRest           // what Go has anyway
)

// add proposes an object if it fits the prefix.
func (l *list) add(name string, o types.Object, rank int) {
	if l.fits(name) {
		l.found = append(l.found, ranked{kernel.Candidate{Text: name, Kind: kindOf(o), Signature: l.front.signature(o)}, rank})
	}
}

// fits reports whether a name is new and goes on from the prefix, in letters of either case.
func (l *list) fits(name string) bool {
	if name == "_" || l.seen[name] || !strings.HasPrefix(strings.ToLower(name), strings.ToLower(l.prefix)) {
		return false
	}
	l.seen[name] = true
	return true
}

// items returns the candidates, those that agree with the prefix in case first, then the nearest.
func (l *list) items() []kernel.Candidate {
	slices.SortFunc(l.found, func(a, b ranked) int {
		return cmp.Or(cmp.Compare(l.otherCase(a), l.otherCase(b)), cmp.Compare(a.rank, b.rank),
			cmp.Compare(strings.ToLower(a.Text), strings.ToLower(b.Text)), cmp.Compare(a.Text, b.Text))
	})
	var out []kernel.Candidate
	for _, r := range l.found {
		out = append(out, r.Candidate)
	}
	return out
}

func (l *list) otherCase(r ranked) int {
	if r.rank == rankUnit && !l.members || strings.HasPrefix(r.Text, l.prefix) {
		return 0
	}
	return 1
}

// addPaths proposes import paths that start with the prefix, and then those in which a later element does.
func (l *list) addPaths() {
	for _, path := range l.front.lib.Paths() {
		rank := 0
		if !strings.HasPrefix(path, l.prefix) {
			rank = 1
		}
		if rank == 0 || strings.Contains(path, "/"+l.prefix) {
			l.found = append(l.found, ranked{kernel.Candidate{Text: path, Kind: "package"}, rank})
		}
	}
}

// addMembers proposes what may stand behind the dot.
func (l *list) addMembers(g *glance) {
	if g == nil || g.selected() == nil {
		return
	}
	x := g.selected().X
	if id, ok := x.(*ast.Ident); ok {
		if p, ok := g.info.Uses[id].(*types.PkgName); ok {
			l.addExported(p.Imported(), 0)
			return
		}
	}
	l.members = true
	tv := g.info.Types[x]
	for _, m := range members(tv.Type) {
		if _, isField := m.object.(*types.Var); !isField || !tv.IsType() {
			l.add(m.object.Name(), m.object, m.depth)
		}
	}
}

func (l *list) addExported(p *types.Package, rank int) {
	for _, name := range p.Scope().Names() {
		if token.IsExported(name) {
			l.add(name, p.Scope().Lookup(name), rank)
		}
	}
}

// member is a field or method, and how many embedded fields lead to it.
type member struct {
	object types.Object
	depth  int
}

// members lists the fields and methods of a type that a cell may name.
func members(t types.Type) []member {
	if t == nil {
		return nil
	}
	names := map[string]bool{}
	promotedFields(deref(t), names, map[types.Type]bool{})
	for _, t := range []types.Type{t, types.NewPointer(t)} {
		for m := range types.NewMethodSet(t).Methods() {
			names[m.Obj().Name()] = true
		}
	}
	cell := types.NewPackage("main", "cell")
	var out []member
	for name := range names {
		if o, index, _ := types.LookupFieldOrMethod(t, true, cell, name); o != nil {
			out = append(out, member{o, len(index) - 1})
		}
	}
	return out
}

// promotedFields notes the names of the fields of a struct and of what it embeds.
func promotedFields(t types.Type, names map[string]bool, seen map[types.Type]bool) {
	s, ok := underlying(t).(*types.Struct)
	if !ok || seen[t] {
		return
	}
	seen[t] = true
	for v := range s.Fields() {
		names[v.Name()] = true
		if v.Embedded() {
			promotedFields(deref(v.Type()), names, seen)
		}
	}
}

// addNames proposes names that are in scope; g may be nil, when nothing is known of the place.
func (l *list) addNames(g *glance) {
	if g != nil {
		l.addUnits(g)
		l.addFields(g)
		l.addScopes(g)
		l.addDeclared(g)
	}
	f := l.front
	for name, o := range f.session.names {
		l.add(name, o, rankSession)
	}
	for name, o := range f.builtins {
		l.add(name, o, rankPrelude)
	}
	for name := range f.prel.Packages {
		if l.seen[name] || !strings.HasPrefix(name, l.prefix) {
			continue // importing costs time
		}
		if o := f.prelude(name); o != nil {
			l.add(name, o, rankPrelude)
		}
	}
	for _, path := range f.prel.Dot {
		if pkg, err := f.importer.Import(path); err == nil {
			l.addExported(pkg, rankPrelude)
		}
	}
	l.addUniverse()
}

// addFields proposes the fields that a literal of a struct does not name yet.
func (l *list) addFields(g *glance) {
	t, lit := g.literal()
	if t == nil {
		return
	}
	named := map[string]bool{}
	for _, e := range lit.Elts {
		if kv, ok := e.(*ast.KeyValueExpr); ok {
			if id, ok := kv.Key.(*ast.Ident); ok {
				named[id.Name] = true
			}
		}
	}
	for v := range underlying(t).(*types.Struct).Fields() {
		if !named[v.Name()] && (v.Exported() || ofCell(v)) {
			l.add(v.Name(), v, rankCell)
		}
	}
}

// addScopes proposes the names of the scopes around the place, from the inside out, up to what belongs to the cell as a whole.
func (l *list) addScopes(g *glance) {
	for s := g.scope(); s != nil && s.Parent() != nil && s.Parent() != types.Universe; s = s.Parent() {
		for _, name := range s.Names() {
			if _, o := s.LookupParent(name, g.pos); o != nil {
				l.add(name, o, rankCell)
			}
		}
	}
}

// addDeclared proposes what the cell declares at its top level. Variables of statements, which count from there on, are all seen by functions only.
func (l *list) addDeclared(g *glance) {
	for name, o := range g.names {
		v, isVar := o.(*types.Var)
		if !isVar || v.Kind() != types.LocalVar || g.path[0] == g.source.decls {
			l.add(name, o, rankCell)
		}
	}
}

// addUniverse proposes Go's own names and keywords.
func (l *list) addUniverse() {
	for _, name := range types.Universe.Names() {
		l.add(name, types.Universe.Lookup(name), rankRest)
	}
	for t := token.BREAK; t <= token.VAR; t++ {
		if t != token.PACKAGE && l.fits(t.String()) {
			l.found = append(l.found, ranked{kernel.Candidate{Text: t.String(), Kind: "keyword"}, rankRest})
		}
	}
}
