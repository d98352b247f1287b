package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"strings"
)

// docs collects comments by name: "" is the package, a member is written Type.Member.
type docs map[string]string

// documentation reads the comments of a package's exported names and their exported members, with indentation kept.
func documentation(p *source) (docs, error) {
	d := docs{}
	fset := token.NewFileSet()
	for _, name := range p.Files {
		f, err := parser.ParseFile(fset, name, nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		d.add("", f.Doc)
		for _, decl := range f.Decls {
			d.decl(decl)
		}
	}
	return d, nil
}

// add appends the text of the first comment that has one.
func (d docs) add(name string, comments ...*ast.CommentGroup) {
	for _, c := range comments {
		if text := strings.TrimRight(c.Text(), "\n"); text != "" {
			if d[name] != "" {
				text = d[name] + "\n\n" + text
			}
			d[name] = text
			return
		}
	}
}

func (d docs) decl(decl ast.Decl) {
	switch decl := decl.(type) {
	case *ast.FuncDecl:
		if name := funcName(decl); exported(name) {
			d.add(name, decl.Doc)
		}
	case *ast.GenDecl:
		for _, spec := range decl.Specs {
			d.spec(spec, decl.Doc)
		}
	}
}

// spec documents a type, constant or variable; a name without a comment of its own has the comment of its group.
func (d docs) spec(spec ast.Spec, group *ast.CommentGroup) {
	switch spec := spec.(type) {
	case *ast.ValueSpec:
		for _, n := range spec.Names {
			if n.IsExported() {
				d.add(n.Name, spec.Doc, spec.Comment, group)
			}
		}
	case *ast.TypeSpec:
		if !spec.Name.IsExported() {
			return
		}
		d.add(spec.Name.Name, spec.Doc, spec.Comment, group)
		switch t := spec.Type.(type) {
		case *ast.StructType:
			d.fields(spec.Name.Name, t.Fields)
		case *ast.InterfaceType:
			d.fields(spec.Name.Name, t.Methods)
		}
	}
}

// fields documents the members of a struct or interface type.
func (d docs) fields(typ string, list *ast.FieldList) {
	for _, f := range list.List {
		for _, n := range f.Names {
			if n.IsExported() {
				d.add(typ+"."+n.Name, f.Doc, f.Comment)
			}
		}
	}
}

// funcName is the name of a function, or Type.Method.
func funcName(f *ast.FuncDecl) string {
	if f.Recv == nil || len(f.Recv.List) == 0 {
		return f.Name.Name
	}
	t := f.Recv.List[0].Type
	if star, ok := t.(*ast.StarExpr); ok {
		t = star.X
	}
	switch x := t.(type) {
	case *ast.IndexExpr:
		t = x.X
	case *ast.IndexListExpr:
		t = x.X
	}
	if id, ok := t.(*ast.Ident); ok {
		return id.Name + "." + f.Name.Name
	}
	return ""
}

func exported(name string) bool {
	typ, member, isMember := strings.Cut(name, ".")
	return ast.IsExported(typ) && (!isMember || ast.IsExported(member))
}
