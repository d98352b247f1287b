package cell

import (
	"go/ast"
	"go/token"
	"go/types"
	"strings"
)

// glance is what can be known of a cell that is still being written: a check that goes on after errors, with a path to the place in question.
type glance struct {
	*check
	pos  token.Pos
	path []ast.Node // from the file or function down to the node at pos
}

// glance checks unfinished code and looks at byte offset at. It returns nil if nothing can be made of the piece that holds the offset.
//
// It works on a copy of the front with files of its own, so that nothing of the code is remembered. Their positions lie behind those of the cells that
// ran: go/types does not see a variable that is declared behind its use.
func (f *Front) glance(text string, at int) *glance {
	scratch := &Front{lib: f.lib, prel: f.prel, files: newFiles(), importer: f.importer, session: f.session, builtins: f.builtins}
	scratch.files.set.AddFile("", f.files.set.Base(), 0)
	s := scratch.files.parseLoosely(text, at)
	if s == nil {
		return nil
	}
	c := &check{front: scratch, source: s, info: newInfo(), declared: map[string]token.Pos{}, imports: map[string]*types.Package{}, names: map[string]types.Object{}}
	c.config = types.Config{Importer: f.importer, Error: func(error) {}, DisableUnusedImportCheck: true}
	c.info.Scopes = map[ast.Node]*types.Scope{}
	decls := c.declarations()
	c.checkDeclarations(c.newPackage(s.decls), decls)
	c.checkStatements(c.newPackage(s.body), s.body)
	c.topLevel(s.body.Body.List)
	c.checkBodies(decls)
	g := &glance{check: c}
	if !g.find(s.decls, len(declsHead)+at) && !g.find(s.body, len(bodyHead)+at) {
		return nil
	}
	return g
}

// find looks for the identifier at an offset in the file of root.
func (g *glance) find(root ast.Node, offset int) bool {
	file := g.front.files.set.File(root.Pos())
	if offset > file.Size() {
		return false
	}
	pos := file.Pos(offset)
	ast.PreorderStack(root, nil, func(n ast.Node, stack []ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && id.Pos() == pos && g.path == nil {
			g.pos, g.path = pos, append(append(g.path, stack...), n)
		}
		return g.path == nil
	})
	return g.path != nil
}

// ident is the identifier that was looked for.
func (g *glance) ident() *ast.Ident { return g.path[len(g.path)-1].(*ast.Ident) }

// parent is the node n levels above the identifier, or nil.
func (g *glance) parent(n int) ast.Node {
	if i := len(g.path) - 1 - n; i >= 0 {
		return g.path[i]
	}
	return nil
}

// selected returns the selector expression whose right side the identifier is, or nil.
func (g *glance) selected() *ast.SelectorExpr {
	if sel, ok := g.parent(1).(*ast.SelectorExpr); ok && sel.Sel == g.ident() {
		return sel
	}
	return nil
}

// literal returns the struct type of the composite literal in which the identifier stands where a field name may, or nil, and the literal.
func (g *glance) literal() (types.Type, *ast.CompositeLit) {
	up := 1
	if kv, ok := g.parent(1).(*ast.KeyValueExpr); ok && kv.Key == g.ident() {
		up = 2
	}
	lit, ok := g.parent(up).(*ast.CompositeLit)
	if !ok || lit.Type == g.ident() {
		return nil, nil
	}
	t := deref(g.info.Types[lit].Type)
	if _, ok := underlying(t).(*types.Struct); !ok {
		return nil, nil
	}
	return t, lit
}

// scope is the innermost scope around the identifier.
func (g *glance) scope() *types.Scope {
	var best *types.Scope
	for _, s := range g.info.Scopes {
		if s.Contains(g.pos) && (best == nil || best.Pos() <= s.Pos() && s.End() <= best.End()) {
			best = s
		}
	}
	return best
}

// underlying returns the underlying type, or nil for nil.
func underlying(t types.Type) types.Type {
	if t == nil {
		return nil
	}
	return t.Underlying()
}

// deref returns what t points to, or t.
func deref(t types.Type) types.Type {
	if p, ok := underlying(t).(*types.Pointer); ok {
		return p.Elem()
	}
	return t
}

// parseLoosely parses a cell whose brackets are balanced. Pieces with errors are left out, except the one that holds the offset: from that one the parser
// saves what it can.
func (f *files) parseLoosely(text string, at int) *source {
	s := &source{text: text}
	s.pieces = statements(text)
	broken := map[int]bool{}
	for _, p := range s.pieces {
		broken[p.off] = !p.contains(at) && !sound(text[p.off:p.end])
	}
	s.decls, _ = f.parseFile(s, declsHead, s.keep(func(p piece) bool { return p.kind != token.ILLEGAL && !broken[p.off] }), "")
	file, _ := f.parseFile(s, bodyHead, s.keep(func(p piece) bool { return p.kind == token.ILLEGAL && !broken[p.off] }), bodyTail)
	if s.decls == nil || !s.decls.Package.IsValid() || file == nil { // as after an error in the first token
		return nil
	}
	for _, d := range file.Decls {
		if d, ok := d.(*ast.FuncDecl); ok && d.Body != nil {
			s.body = d
			return s
		}
	}
	return nil
}

// statements splits a cell like split, but keeps the parts of a header such as that of a for loop together: each may be judged by itself.
func statements(text string) []piece {
	pieces, _ := split(text)
	var out []piece
	for _, p := range pieces {
		last := len(out) - 1
		if last >= 0 && out[last].kind == token.ILLEGAL && p.kind == token.ILLEGAL && text[out[last].end-1] == ';' {
			out[last].end = p.end
			continue
		}
		out = append(out, p)
	}
	return out
}

func (p piece) contains(offset int) bool { return p.off <= offset && offset <= p.end }

// sound reports whether a piece parses by itself.
func sound(text string) bool {
	_, found := newFiles().parse(0, text)
	return len(found) == 0
}

// bracket is an opening bracket; group is set if it opens the specifications of an import, const, type or var declaration, which go over many lines.
type bracket struct {
	close token.Token
	group bool
}

// balance returns src with brackets made to match, and where byte offset at has gone: a bracket that closes nothing becomes a space, and one that is not
// closed is closed where the line ends in a statement, or at the end.
func balance(src string, at int) (string, int) {
	b := balancer{src: src, at: at}
	tokens := scan(src)
	for i, t := range tokens {
		switch t.token {
		case token.LPAREN:
			b.open = append(b.open, bracket{token.RPAREN, i > 0 && opensGroup(tokens[i-1].token)})
		case token.LBRACK:
			b.open = append(b.open, bracket{close: token.RBRACK})
		case token.LBRACE:
			b.open = append(b.open, bracket{close: token.RBRACE})
		case token.RPAREN, token.RBRACK, token.RBRACE:
			b.closing(t)
		case token.SEMICOLON:
			if t.auto {
				b.closeWhile(t.offset, func(x bracket) bool { return x.close != token.RBRACE && !x.group })
			}
		case token.EOF:
			b.closeWhile(len(src), func(bracket) bool { return true })
		}
	}
	b.copy(len(src))
	return b.out.String(), at + b.shifted
}

func opensGroup(t token.Token) bool {
	return t == token.IMPORT || t == token.CONST || t == token.TYPE || t == token.VAR
}

type balancer struct {
	src     string
	at      int
	shifted int // how far what was inserted has moved at
	done    int // bytes of src that are copied
	out     strings.Builder
	open    []bracket
}

func (b *balancer) copy(to int) {
	b.out.WriteString(b.src[b.done:to])
	b.done = to
}

// closing handles a closing bracket: it closes those that are open inside its pair, or is dropped.
func (b *balancer) closing(t lexeme) {
	for i := len(b.open) - 1; i >= 0; i-- {
		if b.open[i].close == t.token {
			inner := len(b.open) - 1 - i
			b.closeWhile(t.offset, func(bracket) bool { inner--; return inner >= 0 })
			b.open = b.open[:i]
			return
		}
	}
	b.copy(t.offset)
	b.out.WriteByte(' ')
	b.done++
}

// closeWhile closes the innermost open brackets at an offset.
func (b *balancer) closeWhile(offset int, wanted func(bracket) bool) {
	for n := len(b.open); n > 0 && wanted(b.open[n-1]); n-- {
		b.copy(offset)
		b.out.WriteString(b.open[n-1].close.String())
		if offset < b.at {
			b.shifted++
		}
		b.open = b.open[:n-1]
	}
}
