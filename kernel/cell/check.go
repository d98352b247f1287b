package cell

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/format"
	"go/parser"
	"go/token"
	"go/types"
	"maps"
	"regexp"
	"slices"
	"strings"

	"foreplane/kernel/dimension"
)

// checked is a cell that go/types has accepted.
type checked struct {
	*source
	info      *types.Info
	names     map[string]types.Object // what the cell declares at its top level, imports included
	stmts     []ast.Stmt              // without the last expression
	last      ast.Expr                // the expression whose value is shown, or nil
	functions []*declaredFunc         // with the methods
	dims      *dimension.Result
	other     map[string]bool         // see check
	again     []*recheck              // functions of earlier cells that use what this one declares again
	replaced  map[string]types.Object // what earlier cells had declared under names that now mean something else
	steps     steps
}

// check is the work on one cell. The cell is checked in packages of one path: the first has the declarations, without the bodies of functions; the second
// the statements, as the body of a function; the third the bodies, in a scope to which the variables of the statements have been added.
type check struct {
	front    *Front
	source   *source
	config   types.Config
	info     *types.Info
	declared map[string]token.Pos // names of declarations and imports
	imports  map[string]*types.Package
	names    map[string]types.Object
	last     ast.Expr
	found    problems
	actions  map[token.Pos]string // of the values that a text names: where, and how it is written
	unkeyed  bool                 // a literal of a struct lacks the names of its fields
	keyed    []func()             // take such names out again
	late     []*declaredFunc      // methods of types of earlier cells
	again    []*recheck
	other    map[string]bool // variables that are declared again with the same type and another dimension
}

// checkCell checks a cell in the scope of the session. Some variables may be known to be declared again with another dimension: that is another type.
func (f *Front) checkCell(s *source, other map[string]bool) (*checked, problems) {
	c := f.newCheck(s)
	c.other = other
	defer c.removeKeys()
	checked := c.run()
	c.explain()
	c.nameActions()
	return checked, c.found
}

func (f *Front) newCheck(s *source) *check {
	c := &check{front: f, source: s, info: newInfo(), declared: map[string]token.Pos{}, imports: map[string]*types.Package{}, names: map[string]types.Object{}, actions: map[token.Pos]string{}}
	c.config = types.Config{Importer: f.importer, Error: c.report, DisableUnusedImportCheck: true}
	return c
}

// run checks the declarations once, and the rest again as long as that makes more functions of earlier cells depend on the cell.
func (c *check) run() *checked {
	decls := c.declarations()
	c.addLiveValues()
	stmts := c.lastExpression()
	pkg := c.newPackage(c.source.decls)
	c.checkDeclarations(pkg, decls)
	c.signLate()
	fixed, before := maps.Clone(c.names), slices.Clone(c.found)
	for {
		functions := c.checkRest(decls, stmts)
		more := c.addDependents(functions)
		if !c.addKeys() && !more {
			pkg.SetName(cellPackage(c.source.number))
			k := &checked{source: c.source, info: c.info, names: c.names, stmts: stmts, last: c.last, functions: functions, again: c.again,
				replaced: c.replaced(), other: c.other}
			k.timetable(decls)
			c.early(k)
			c.reportGhosts()
			return k
		}
		c.names, c.found = maps.Clone(fixed), slices.Clone(before)
	}
}

// checkRest checks the statements, the bodies of the cell's functions, and the functions of earlier cells that depend on it.
func (c *check) checkRest(decls []ast.Decl, stmts []ast.Stmt) []*declaredFunc {
	pkg := c.packageOf(c.source.body.Body.List)
	c.checkStatements(pkg, c.source.body)
	pkg.SetName(cellPackage(c.source.number))
	c.topLevel(stmts)
	functions := c.checkBodies(decls)
	c.checkAgain()
	return functions
}

// addKeys writes the names of fields into literals of structs that cells have declared. Without names, go/types takes fields for those of another package,
// since each cell is checked as a package of its own. It reports whether there were such literals.
func (c *check) addKeys() bool {
	if !c.unkeyed {
		return false
	}
	c.unkeyed = false
	before := len(c.keyed)
	nodes := []ast.Node{c.source.decls, c.source.body}
	for _, r := range c.again {
		nodes = append(nodes, r.old.decl)
	}
	for _, n := range nodes {
		ast.Inspect(n, func(n ast.Node) bool {
			if lit, ok := n.(*ast.CompositeLit); ok {
				c.keyLiteral(lit)
			}
			return true
		})
	}
	return len(c.keyed) > before
}

func (c *check) keyLiteral(lit *ast.CompositeLit) {
	if len(lit.Elts) == 0 {
		return
	}
	if _, keyed := lit.Elts[0].(*ast.KeyValueExpr); keyed {
		return
	}
	st := structOf(c.info.Types[lit].Type)
	if st == nil || st.NumFields() != len(lit.Elts) {
		return
	}
	written := lit.Elts
	c.keyed = append(c.keyed, func() { lit.Elts = written })
	lit.Elts = nil
	for i, e := range written {
		lit.Elts = append(lit.Elts, &ast.KeyValueExpr{Key: &ast.Ident{Name: st.Field(i).Name(), NamePos: e.Pos()}, Colon: e.Pos(), Value: e})
	}
}

// removeKeys restores what addKeys has changed: the cell may be checked again when the struct is another.
func (c *check) removeKeys() {
	for _, restore := range slices.Backward(c.keyed) {
		restore()
	}
}

// structOf returns the struct that a literal of type t makes, or nil.
func structOf(t types.Type) *types.Struct {
	if t == nil {
		return nil
	}
	if p, ok := t.Underlying().(*types.Pointer); ok {
		t = p.Elem()
	}
	st, ok := t.Underlying().(*types.Struct)
	if !ok || st.NumFields() == 0 || st.Field(0).Pkg() == nil || st.Field(0).Pkg().Path() != "main" {
		return nil
	}
	return st
}

func newInfo() *types.Info {
	return &types.Info{
		Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{},
		Selections: map[*ast.SelectorExpr]*types.Selection{}, Instances: map[*ast.Ident]types.Instance{}, Implicits: map[ast.Node]types.Object{},
	}
}

// declarations takes the imports out of the declarations and notes the names of the rest.
func (c *check) declarations() []ast.Decl {
	var rest []ast.Decl
	for _, d := range c.source.decls.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Recv == nil {
				c.declared[d.Name.Name] = d.Name.Pos()
			}
			c.checkName(d)
		case *ast.GenDecl:
			if d.Tok == token.IMPORT {
				c.importAll(d)
				continue
			}
			c.declareAll(d)
		}
		rest = append(rest, d)
	}
	c.renew()
	return c.takeLate(rest)
}

// checkName refuses what a compiled program would call by itself.
func (c *check) checkName(d *ast.FuncDecl) {
	if d.Recv == nil && d.Name.Name == "init" {
		c.problem(d.Name.Pos(), "func init has no place in a cell: write its statements as they are")
	}
	if d.Body == nil {
		c.problem(d.Name.Pos(), "func "+d.Name.Name+" has no body: its { stands at the end of this line")
	}
}

// declareAll notes the names of a const or type declaration.
func (c *check) declareAll(d *ast.GenDecl) {
	for _, spec := range d.Specs {
		switch spec := spec.(type) {
		case *ast.TypeSpec:
			c.declared[spec.Name.Name] = spec.Name.Pos()
		case *ast.ValueSpec:
			for _, name := range spec.Names {
				c.declared[name.Name] = name.Pos()
			}
		}
	}
}

// importAll imports the packages of an import declaration.
func (c *check) importAll(d *ast.GenDecl) {
	for _, spec := range d.Specs {
		spec := spec.(*ast.ImportSpec)
		path := strings.Trim(spec.Path.Value, "\"`")
		pkg, err := c.front.importer.Import(path)
		if err != nil {
			c.importProblem(spec.Path.Pos(), path, err)
			continue
		}
		switch {
		case spec.Name == nil:
			c.importAs(pkg.Name(), pkg, spec.Path.Pos())
		case spec.Name.Name == "." && isLocal(pkg):
			c.problem(spec.Name.Pos(), "a package of the notebook's folder is imported by name")
		case spec.Name.Name == ".":
			c.importDot(pkg)
		case spec.Name.Name != "_":
			c.importAs(spec.Name.Name, pkg, spec.Name.Pos())
		}
	}
}

// importAs gives a package a name in this cell and those that follow.
func (c *check) importAs(name string, pkg *types.Package, pos token.Pos) {
	if old, ok := c.imports[name]; ok && old != pkg {
		c.problem(pos, name+" redeclared in this cell")
	}
	c.imports[name] = pkg
	c.names[name] = types.NewPkgName(pos, nil, name, pkg)
}

// importDot makes all exported names of a package usable without qualifier.
func (c *check) importDot(pkg *types.Package) {
	for _, name := range pkg.Scope().Names() {
		if token.IsExported(name) {
			c.names[name] = pkg.Scope().Lookup(name)
		}
	}
}

// newPackage returns a package whose scope knows every name that the nodes mention.
func (c *check) newPackage(nodes ...ast.Node) *types.Package {
	pkg := types.NewPackage("main", "cell")
	for _, n := range nodes {
		c.insertMentioned(pkg, n)
	}
	return pkg
}

// insertMentioned adds what a node mentions to the scope of a package.
func (c *check) insertMentioned(pkg *types.Package, n ast.Node) {
	c.insertWhere(pkg, n, func(*ast.Ident) bool { return true })
}

func (c *check) insertWhere(pkg *types.Package, n ast.Node, wanted func(*ast.Ident) bool) {
	ast.Inspect(n, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && wanted(id) && pkg.Scope().Lookup(id.Name) == nil {
			insert(pkg, id.Name, c.lookup(id.Name))
		}
		return true
	})
}

// packageOf is newPackage for statements. What they have declared themselves is not that of an earlier cell: if it were in the scope, each run of a cell
// would hold on to the one before.
func (c *check) packageOf(stmts []ast.Stmt) *types.Package {
	pkg := types.NewPackage("main", "cell")
	own := map[string]bool{}
	for _, s := range stmts {
		declared := declaredBy([]ast.Stmt{s})
		c.insertWhere(pkg, s, func(id *ast.Ident) bool { return !own[id.Name] && !slices.Contains(declared, id) })
		for _, id := range declared {
			own[id.Name] = true
		}
	}
	return pkg
}

// lookup returns what a name means that the cell declares, imports or finds. While the declarations are checked, their names mean nothing yet.
func (c *check) lookup(name string) types.Object {
	if o := c.names[name]; o != nil {
		return o
	}
	if _, ok := c.declared[name]; ok {
		return nil
	}
	if r := c.rechecked(name); r != nil {
		return r.new.object
	}
	if o := c.front.session.names[name]; o != nil {
		return o
	}
	return c.front.prelude(name)
}

// insert puts an object in the scope of a package; the name of an imported package needs an object that belongs to the importing package.
func insert(pkg *types.Package, name string, o types.Object) {
	if p, ok := o.(*types.PkgName); ok {
		o = types.NewPkgName(p.Pos(), pkg, name, p.Imported())
	}
	if o != nil {
		pkg.Scope().Insert(o)
	}
}

// lastExpression takes the final expression out of the statements, if the cell has one.
func (c *check) lastExpression() []ast.Stmt {
	list := c.source.body.Body.List
	for len(list) > 0 {
		if _, empty := list[len(list)-1].(*ast.EmptyStmt); !empty {
			break
		}
		list = list[:len(list)-1]
	}
	if len(list) == 0 {
		return nil
	}
	if s, ok := list[len(list)-1].(*ast.ExprStmt); ok {
		c.last = s.X
		return list[:len(list)-1]
	}
	return list
}

// checkDeclarations runs the checker over the declarations, without the bodies of functions.
func (c *check) checkDeclarations(pkg *types.Package, decls []ast.Decl) {
	c.checkHeads(pkg, decls)
	for name := range c.declared {
		if o := pkg.Scope().Lookup(name); o != nil {
			c.names[name] = o
		}
	}
}

// checkHeads runs the checker over declarations, without the bodies of functions.
func (c *check) checkHeads(pkg *types.Package, decls []ast.Decl) {
	c.config.IgnoreFuncBodies = true
	c.checkFile(pkg, decls)
	c.config.IgnoreFuncBodies = false
}

// checkStatements runs it over the statements.
func (c *check) checkStatements(pkg *types.Package, body *ast.FuncDecl) {
	c.checkFile(pkg, []ast.Decl{body})
}

func (c *check) checkFile(pkg *types.Package, decls []ast.Decl) {
	types.NewChecker(&c.config, c.front.files.set, pkg, c.info).Files([]*ast.File{fileOf(c.source.decls, decls)})
}

func fileOf(like *ast.File, decls []ast.Decl) *ast.File {
	return &ast.File{Package: like.Package, Name: ast.NewIdent("cell"), Decls: decls, FileStart: like.FileStart, FileEnd: like.FileEnd}
}

// topLevel notes the variables that the statements declare, and reports those that bear the name of a declaration.
func (c *check) topLevel(stmts []ast.Stmt) {
	for _, id := range declaredBy(stmts) {
		o := c.info.Defs[id]
		if o == nil || id.Name == "_" {
			continue
		}
		if c.names[id.Name] != nil {
			c.problem(id.Pos(), id.Name+" redeclared in this cell")
			continue
		}
		c.names[id.Name] = o
	}
}

// declaredBy lists the names that statements declare in their own scope; some of a := may be old.
func declaredBy(stmts []ast.Stmt) []*ast.Ident {
	var out []*ast.Ident
	for _, s := range stmts {
		for {
			l, ok := s.(*ast.LabeledStmt)
			if !ok {
				break
			}
			s = l.Stmt
		}
		switch s := s.(type) {
		case *ast.AssignStmt:
			if s.Tok == token.DEFINE {
				for _, e := range s.Lhs {
					if id, ok := e.(*ast.Ident); ok { // go/types complains about the others
						out = append(out, id)
					}
				}
			}
		case *ast.DeclStmt:
			for _, spec := range s.Decl.(*ast.GenDecl).Specs {
				if v, ok := spec.(*ast.ValueSpec); ok {
					out = append(out, v.Names...)
				}
			}
		}
	}
	return out
}

// checkBodies checks the bodies of functions and methods.
func (c *check) checkBodies(decls []ast.Decl) []*declaredFunc {
	var functions []*declaredFunc
	for _, d := range decls {
		if d, ok := d.(*ast.FuncDecl); ok && d.Body != nil {
			object, _ := c.info.Defs[d.Name].(*types.Func)
			functions = append(functions, &declaredFunc{source: c.source, decl: d, object: object})
		}
	}
	functions = append(functions, c.late...)
	if len(functions) == 0 {
		return nil
	}
	var blanks []ast.Decl
	for _, d := range functions {
		blanks = append(blanks, c.blank(d.source, d.decl))
	}
	pkg := types.NewPackage("main", "cell")
	for name, o := range c.names {
		insert(pkg, name, o)
	}
	for _, b := range blanks {
		c.insertMentioned(pkg, b)
	}
	c.checkFile(pkg, blanks)
	pkg.SetName(cellPackage(c.source.number))
	for i, d := range functions {
		d.checked(c, blanks[i].(*ast.FuncDecl), pkg)
	}
	return functions
}

// blank returns a function of the same parameters and body that declares nothing; a method's receiver becomes the first parameter.
func (c *check) blank(s *source, d *ast.FuncDecl) *ast.FuncDecl {
	blank := &ast.FuncDecl{Name: &ast.Ident{Name: "_", NamePos: d.Name.Pos()}, Type: d.Type, Body: d.Body}
	if d.Recv == nil || len(d.Recv.List) != 1 {
		return blank
	}
	recv := d.Recv.List[0]
	params := &ast.FieldList{Opening: d.Type.Params.Opening, Closing: d.Type.Params.Closing}
	blank.Type = &ast.FuncType{Func: d.Type.Func, Params: params, Results: d.Type.Results}
	if base, args := receiverBase(recv.Type); base != nil && len(args) > 0 && !slices.ContainsFunc(args, isNoName) {
		names, typ := c.receiverParams(s, recv.Type, base, args)
		blank.Type.TypeParams = names
		recv = &ast.Field{Names: recv.Names, Type: typ}
	}
	params.List = append(params.List, named(recv))
	for _, p := range d.Type.Params.List {
		params.List = append(params.List, named(p))
	}
	return blank
}

// named gives a parameter without a name the blank one: either all parameters of a function have names or none.
func named(p *ast.Field) *ast.Field {
	if len(p.Names) > 0 {
		return p
	}
	return &ast.Field{Names: []*ast.Ident{{Name: "_", NamePos: p.Type.Pos()}}, Type: p.Type}
}

// isNoName reports whether an expression is no name: in a receiver's type arguments go/types complains about it.
func isNoName(e ast.Expr) bool {
	_, ok := e.(*ast.Ident)
	return !ok
}

// receiverBase takes a receiver's type apart: *Base[A, B] or less.
func receiverBase(e ast.Expr) (base *ast.Ident, args []ast.Expr) {
	switch e := e.(type) {
	case *ast.ParenExpr:
		return receiverBase(e.X)
	case *ast.StarExpr:
		return receiverBase(e.X)
	case *ast.IndexExpr:
		base, _ = e.X.(*ast.Ident)
		return base, []ast.Expr{e.Index}
	case *ast.IndexListExpr:
		base, _ = e.X.(*ast.Ident)
		return base, e.Indices
	case *ast.Ident:
		return e, nil
	}
	return nil, nil
}

// receiverParams returns the type parameters that a method of a generic type has by its receiver, with the constraints that the type's declaration gives
// them, and the receiver's type in terms of them.
func (c *check) receiverParams(s *source, typ ast.Expr, base *ast.Ident, args []ast.Expr) (*ast.FieldList, ast.Expr) {
	spec := c.typeSpec(s, base.Name)
	list := &ast.FieldList{Opening: typ.Pos(), Closing: typ.End()}
	renamed := map[string]string{}
	var idents []ast.Expr
	for i, a := range args {
		name := a.(*ast.Ident).Name
		if name == "_" {
			name = fmt.Sprintf("_%d", i)
		}
		idents = append(idents, &ast.Ident{Name: name, NamePos: a.Pos()})
		if spec != nil && i < spec.TypeParams.NumFields() {
			renamed[fieldNames(spec.TypeParams)[i].Name] = name
		}
	}
	for i, a := range idents {
		constraint := ast.Expr(ast.NewIdent("any"))
		if spec != nil && i < spec.TypeParams.NumFields() {
			constraint = c.constraint(spec, i, renamed)
		}
		list.List = append(list.List, &ast.Field{Names: []*ast.Ident{{Name: a.(*ast.Ident).Name, NamePos: a.Pos()}}, Type: constraint})
	}
	var out ast.Expr = &ast.IndexListExpr{X: &ast.Ident{Name: base.Name, NamePos: base.Pos()}, Lbrack: base.End(), Indices: idents, Rbrack: typ.End()}
	if _, ok := ast.Unparen(typ).(*ast.StarExpr); ok {
		out = &ast.StarExpr{Star: typ.Pos(), X: out}
	}
	return list, out
}

// typeSpec finds the declaration of a type in a cell or, if it has none, in an earlier one.
func (c *check) typeSpec(s *source, name string) *ast.TypeSpec {
	if spec := s.typeSpec(name); spec != nil {
		return spec
	}
	if t, ok := c.lookup(name).(*types.TypeName); ok {
		if o, ok := c.front.files.origins[c.front.files.set.File(t.Pos())]; ok && o.source.decls != nil {
			return o.source.typeSpec(t.Name())
		}
	}
	return nil
}

// typeSpec finds the declaration of a type in a cell.
func (s *source) typeSpec(name string) *ast.TypeSpec {
	for _, d := range s.decls.Decls {
		g, ok := d.(*ast.GenDecl)
		if !ok {
			continue
		}
		for _, spec := range g.Specs {
			if t, ok := spec.(*ast.TypeSpec); ok && t.Name.Name == name {
				return t
			}
		}
	}
	return nil
}

// constraint copies the constraint of a type parameter of a type declaration, with the names that a method's receiver gives to the parameters.
func (c *check) constraint(spec *ast.TypeSpec, i int, renamed map[string]string) ast.Expr {
	var e ast.Expr
	for _, f := range spec.TypeParams.List {
		if i -= len(f.Names); i < 0 {
			e = f.Type
			break
		}
	}
	var text bytes.Buffer
	if err := format.Node(&text, c.front.files.set, e); err != nil {
		return e
	}
	copied, err := parser.ParseExpr("interface{" + text.String() + "}")
	if err != nil {
		return e
	}
	ast.Inspect(copied, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			if name, ok := renamed[id.Name]; ok {
				id.Name = name
			}
			id.NamePos = e.Pos()
		}
		return true
	})
	return copied
}

// unused matches complaints about names that nothing uses, which cells may have.
var unused = regexp.MustCompile(`declared and not used`)

// report is called by go/types with each error. One that starts with a tab explains the one before.
func (c *check) report(err error) {
	e := err.(types.Error)
	switch {
	case e.Soft && unused.MatchString(e.Msg):
	case strings.HasPrefix(e.Msg, "implicit assignment to unexported field"):
		c.unkeyed = true
		c.problem(e.Pos, c.front.readable(e.Msg))
	case c.last != nil && strings.HasSuffix(e.Msg, " is not used") && e.Pos == c.last.Pos():
	case strings.HasPrefix(e.Msg, "\t") && len(c.found) > 0:
		c.found[len(c.found)-1].message += "; " + strings.TrimSpace(e.Msg) + " at " + c.front.files.place(e.Pos).String()
	default:
		c.problem(e.Pos, c.front.readable(e.Msg))
	}
}

func (c *check) problem(pos token.Pos, message string) {
	c.found = append(c.found, problem{place: c.front.files.place(pos), pos: pos, message: message})
}
