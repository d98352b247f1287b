package cell

import (
	"fmt"
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"go/types"
	"slices"
	"strings"
	"sync"
	"text/tabwriter"

	"foreplane/kernel/display"
)

// Inspect documents the name at byte offset cursor: the one that the cursor touches, or else the function of the call around it, or the name before. For
// types, detail 1 adds the methods; for what cells declare, the source.
func (f *Front) Inspect(code string, cursor, detail int) (doc display.Bundle, found bool) {
	defer func() { _ = recover() }() // as in Complete
	return f.inspect(code, cursor, detail)
}

func (f *Front) inspect(code string, cursor, detail int) (display.Bundle, bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if spot := spotAt(code, cursor); spot.kind == inImport {
		return f.inspectPath(code[spot.start:])
	}
	start, end, ok := nameAt(code, cursor)
	if !ok {
		return display.Bundle{}, false
	}
	e, ok := f.resolve(code, start, end)
	if !ok {
		return display.Bundle{}, false
	}
	return f.document(e, detail).bundle(), true
}

// inspectPath documents the package whose path rest starts with, up to the quote.
func (f *Front) inspectPath(rest string) (display.Bundle, bool) {
	path, _, _ := strings.Cut(rest, `"`)
	pkg, err := f.importer.Import(path)
	if err != nil {
		return display.Bundle{}, false
	}
	return f.document(entity{object: types.NewPkgName(token.NoPos, nil, pkg.Name(), pkg)}, 0).bundle(), true
}

// nameAt finds the name to document.
func nameAt(code string, cursor int) (start, end int, ok bool) {
	before := []word{{tok: token.SEMICOLON}}
	for w := range words(code) {
		if w.off > cursor || w.tok == token.EOF {
			break
		}
		if w.tok == token.IDENT && cursor <= w.end {
			return w.off, w.end, true
		}
		if w.tok != token.COMMENT && w.off < cursor && w.end <= cursor {
			before = append(before, w)
		}
	}
	if w := enclosingCall(before); w.tok == token.IDENT {
		return w.off, w.end, true
	}
	last := before[len(before)-1]
	return last.off, last.end, last.tok == token.IDENT
}

// enclosingCall returns the function of the call whose closing bracket is the last of the words or, failing that, of the innermost call that is open there.
func enclosingCall(before []word) word {
	last := len(before) - 1
	if before[last].tok == token.RPAREN {
		if i := opener(before[:last]); i > 0 && before[i-1].tok == token.IDENT {
			return before[i-1]
		}
	}
	for i := opener(before); i > 0 && before[i].tok != token.LBRACE; i = opener(before[:i]) {
		if before[i].tok == token.LPAREN && before[i-1].tok == token.IDENT {
			return before[i-1]
		}
	}
	return word{}
}

// opener returns the index of the innermost bracket that is open at the end of words, or -1.
func opener(words []word) int {
	depth := 0
	for i := len(words) - 1; i >= 0; i-- {
		switch words[i].tok {
		case token.RPAREN, token.RBRACK, token.RBRACE:
			depth++
		case token.LPAREN, token.LBRACK, token.LBRACE:
			if depth--; depth < 0 {
				return i
			}
		}
	}
	return -1
}

// entity is an object with the name of the type that it was found in, if it is a field.
type entity struct {
	object types.Object
	owner  *types.TypeName
}

// resolve finds what a name means: in the cell as it is or, if that does not tell, in the cell cut behind the name.
func (f *Front) resolve(code string, start, end int) (entity, bool) {
	fixed, at := balance(code, start)
	name := code[start:end]
	if e, ok := f.entityAt(f.glance(fixed, at)); ok {
		return e, true
	}
	g := f.glance(cut(fixed, at, at+len(name), name))
	if e, ok := f.entityAt(g); ok {
		return e, true
	}
	if g != nil && g.selected() != nil {
		return entity{}, false
	}
	for _, o := range []types.Object{f.session.names[name], f.prelude(name), types.Universe.Lookup(name)} {
		if o != nil {
			return entity{object: o}, true
		}
	}
	return entity{}, false
}

// entityAt returns what the identifier of a glance means.
func (f *Front) entityAt(g *glance) (entity, bool) {
	if g == nil {
		return entity{}, false
	}
	if sel := g.selected(); sel != nil {
		if s := g.info.Selections[sel]; s != nil {
			return entity{s.Obj(), ownerOf(s.Recv(), s.Index())}, true
		}
	}
	if t, _ := g.literal(); t != nil {
		if o, index, _ := types.LookupFieldOrMethod(t, true, types.NewPackage("main", "cell"), g.ident().Name); o != nil && len(index) == 1 {
			return entity{o, ownerOf(t, index)}, true
		}
	}
	o := g.info.ObjectOf(g.ident())
	return entity{object: o}, o != nil
}

// ownerOf returns the type whose declaration has the field that is reached from t by index, or nil.
func ownerOf(t types.Type, index []int) *types.TypeName {
	for _, i := range index[:len(index)-1] {
		s, ok := underlying(deref(t)).(*types.Struct)
		if !ok {
			return nil
		}
		t = s.Field(i).Type()
	}
	if n, ok := types.Unalias(deref(t)).(*types.Named); ok {
		return n.Obj()
	}
	return nil
}

// document is what is said about an entity: Go source, where it comes from, and a text in the form of doc comments.
type document struct {
	code, origin, text string
	notes              []string // in Markdown, each a paragraph
}

// document describes an entity.
func (f *Front) document(e entity, detail int) document {
	var d document
	d.code = f.declaration(e, detail)
	if p, ok := e.object.(*types.PkgName); ok {
		d.text = f.lib.Doc(importPath(p.Imported()), "")
		return d
	}
	if ofCell(e.object) {
		place := f.files.place(e.object.Pos())
		if place.Cell == 0 {
			return d // declared in the code in question
		}
		d.origin = place.String()
		doc, source := f.written(e.object)
		if d.text = doc; detail > 0 && source != "" {
			d.code = source
		}
		d.notes = append(f.quantityNotes(e.object), f.held(e.object)...)
		return d
	}
	d.text = f.docOf(e)
	d.notes = f.quantityNotes(e.object)
	if p := e.object.Pkg(); p != nil {
		d.notes = append(d.notes, f.sources(importPath(p), d.text)...)
	}
	return d
}

// ofCell reports whether a cell has declared an object.
func ofCell(o types.Object) bool { return o.Pkg() != nil && o.Pkg().Path() == "main" }

// docOf returns the documentation of an object of a package, or of must, show and ask.
func (f *Front) docOf(e entity) string {
	o := e.object
	name := o.Name()
	if o.Pkg() == nil {
		return predeclared[name].doc
	}
	if fn, ok := o.(*types.Func); ok && fn.Signature().Recv() != nil {
		if owner := ownerOf(fn.Signature().Recv().Type(), []int{0}); owner != nil {
			name = owner.Name() + "." + name
		}
	} else if e.owner != nil {
		name = e.owner.Name() + "." + name
	}
	if o.Pkg().Path() == builtinPath {
		return builtinDocs()[name]
	}
	return f.lib.Doc(importPath(o.Pkg()), name)
}

// builtinDocs are the comments in builtinSource.
var builtinDocs = sync.OnceValue(func() map[string]string {
	docs := map[string]string{}
	file, err := parser.ParseFile(token.NewFileSet(), "builtin", builtinSource, parser.ParseComments)
	if err != nil {
		panic(err)
	}
	for _, d := range file.Decls {
		if d, ok := d.(*ast.FuncDecl); ok {
			docs[d.Name.Name] = strings.TrimSpace(d.Doc.Text())
		}
	}
	return docs
})

// written returns the comment and the source of what a cell has declared: a function, a method, a type or a constant.
func (f *Front) written(o types.Object) (doc, source string) {
	file := f.files.set.File(o.Pos())
	from, ok := f.files.origins[file]
	if !ok {
		return "", ""
	}
	text := func(n ast.Node) string {
		return from.source.text[file.Offset(n.Pos())-from.head : file.Offset(n.End())-from.head]
	}
	for _, d := range from.source.decls.Decls {
		if d.Pos() > o.Pos() || o.Pos() >= d.End() {
			continue
		}
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Name.Pos() == o.Pos() {
				return strings.TrimSpace(d.Doc.Text()), text(&ast.FuncDecl{Name: d.Name, Recv: d.Recv, Type: d.Type, Body: d.Body})
			}
		case *ast.GenDecl:
			return strings.TrimSpace(specDoc(d, o.Pos()).Text()), text(&ast.GenDecl{TokPos: d.TokPos, Tok: d.Tok, Lparen: d.Lparen, Rparen: d.Rparen, Specs: d.Specs})
		}
	}
	return "", ""
}

// specDoc is the comment of the name at pos in a declaration.
func specDoc(d *ast.GenDecl, pos token.Pos) *ast.CommentGroup {
	for _, s := range d.Specs {
		if pos < s.Pos() || pos >= s.End() {
			continue
		}
		switch s := s.(type) {
		case *ast.TypeSpec:
			if s.Doc != nil {
				return s.Doc
			}
		case *ast.ValueSpec:
			if s.Doc != nil {
				return s.Doc
			}
		}
	}
	return d.Doc
}

// declaration writes an entity as Go would declare it.
func (f *Front) declaration(e entity, detail int) string {
	o := e.object
	qualifier := ""
	if o.Pkg() != nil {
		if qualifier = f.qualify(o.Pkg()); qualifier != "" {
			qualifier += "."
		}
	}
	switch o := o.(type) {
	case *types.PkgName:
		return fmt.Sprintf("package %s // import %q", o.Imported().Name(), o.Imported().Path())
	case *types.Const:
		return "const " + qualifier + o.Name() + " " + f.constant(o)
	case *types.TypeName:
		return "type " + qualifier + o.Name() + f.typeParams(o.Type()) + " " + f.typeBody(o) + f.methods(o.Type(), detail)
	case *types.Func:
		return f.function(o, qualifier)
	case *types.Builtin:
		return "func " + o.Name() + predeclared[o.Name()].signature
	case *types.Nil:
		return "var nil T // a pointer, func, slice, map, channel or interface"
	case *types.Var:
		if e.owner != nil && o.IsField() {
			return "field " + f.qualified(e.owner) + "." + o.Name() + " " + f.typeString(o.Type())
		}
		if o.Kind() != types.PackageVar {
			qualifier = ""
		}
		return "var " + qualifier + o.Name() + " " + f.typeString(typeOf(o))
	}
	return o.Name()
}

// qualified writes the name of a type as a cell would.
func (f *Front) qualified(t *types.TypeName) string {
	if t.Pkg() != nil && f.qualify(t.Pkg()) != "" {
		return f.qualify(t.Pkg()) + "." + t.Name()
	}
	return t.Name()
}

// function writes the head of a function or method.
func (f *Front) function(o *types.Func, qualifier string) string {
	signature := strings.TrimPrefix(f.typeString(o.Type()), "func")
	if recv := o.Signature().Recv(); recv != nil {
		return "func (" + f.typeString(recv.Type()) + ") " + o.Name() + signature
	}
	return "func " + qualifier + o.Name() + signature
}

func (f *Front) typeParams(t types.Type) string {
	n, ok := t.(interface{ TypeParams() *types.TypeParamList })
	if !ok || n.TypeParams().Len() == 0 {
		return ""
	}
	var list []string
	for p := range n.TypeParams().TypeParams() {
		list = append(list, p.Obj().Name()+" "+f.typeString(p.Constraint()))
	}
	return "[" + strings.Join(list, ", ") + "]"
}

// typeBody writes what a type is made of, members that a cell may name one a line with the first sentence of their documentation.
func (f *Front) typeBody(o *types.TypeName) string {
	if o.IsAlias() {
		return "= " + f.typeString(types.Unalias(o.Type()))
	}
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 8, 1, ' ', tabwriter.TabIndent)
	switch u := o.Type().Underlying().(type) {
	case *types.Struct:
		hidden := ""
		for v := range u.Fields() {
			if !v.Exported() && !ofCell(v) {
				hidden = "\t// and unexported fields\n"
				continue
			}
			fmt.Fprintf(w, "\t%s\t%s%s\n", v.Name(), f.typeString(v.Type()), f.remark(entity{v, o}))
		}
		w.Flush()
		return "struct {\n" + b.String() + hidden + "}"
	case *types.Interface:
		for m := range u.Methods() {
			fmt.Fprintf(w, "\t%s%s%s\n", m.Name(), strings.TrimPrefix(f.typeString(m.Type()), "func"), f.remark(entity{m, o}))
		}
		w.Flush()
		return "interface {\n" + b.String() + "}"
	default:
		return f.typeString(u)
	}
}

// remark is the first sentence of an entity's documentation as a comment.
func (f *Front) remark(e entity) string {
	sentence := new(doc.Package).Synopsis(f.docOf(e))
	if v, ok := e.object.(*types.Var); ok {
		if q, ok := f.dims.Declared(v); ok && q.Symbol != "1" {
			sentence = strings.TrimSpace("in " + q.Symbol + ": " + sentence)
		}
	}
	if sentence == "" {
		return ""
	}
	return "\t// " + strings.TrimSuffix(sentence, ":")
}

// methods lists the methods of a type, when details are wanted.
func (f *Front) methods(t types.Type, detail int) string {
	if _, isInterface := t.Underlying().(*types.Interface); detail == 0 || isInterface {
		return ""
	}
	var lines []string
	for m := range types.NewMethodSet(types.NewPointer(t)).Methods() {
		if fn, ok := m.Obj().(*types.Func); ok && (fn.Exported() || ofCell(fn)) {
			lines = append(lines, "\n"+f.function(fn, ""))
		}
	}
	if len(lines) == 0 {
		return ""
	}
	slices.Sort(lines)
	return "\n" + strings.Join(lines, "")
}
