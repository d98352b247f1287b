package main

import (
	"bytes"
	_ "embed"
	"fmt"
	"go/format"
	"go/types"
	"regexp"
	"slices"
	"strings"
	"text/template"
)

//go:embed tables.tmpl
var tablesText string

var tablesTemplate = template.Must(template.New("tables").Parse(tablesText))

// table is what the template needs of one package.
type table struct {
	Path, Alias string
	Names       []string // all that a cell can use, constants included
	Entries     []entry  // what the interpreter is given: constants are folded before it sees them
	Wrappers    []wrapper
}

type entry struct{ Name, Value string }

// wrapper is a struct of function values that satisfies an interface: the interpreter fills it with the methods of an interpreted value.
type wrapper struct {
	Name    string
	Methods []method
}

type method struct{ Name, Params, Results, Args, Return string }

// imports gives every package a local name made of its whole path, and remembers which are used.
type imports map[string]bool

func (im imports) name(path string) string {
	im[path] = true
	return alias(path)
}

func alias(path string) string {
	return strings.NewReplacer("/", "_", ".", "_", "-", "_").Replace(path)
}

// tables writes the Go file of one set.
func tables(set string, pkgs []*source) ([]byte, error) {
	used := imports{}
	var list []table
	for _, p := range pkgs {
		list = append(list, tableOf(p, used))
	}
	delete(used, "reflect") // always imported
	var paths []entry
	for path := range used {
		paths = append(paths, entry{alias(path), path})
	}
	slices.SortFunc(paths, func(a, b entry) int { return strings.Compare(a.Value, b.Value) })
	var buf bytes.Buffer
	err := tablesTemplate.Execute(&buf, map[string]any{"Set": set, "Imports": paths, "Tables": list})
	if err != nil {
		return nil, err
	}
	return format.Source(buf.Bytes())
}

func tableOf(p *source, used imports) table {
	t := table{Path: p.Path, Alias: alias(p.Path)}
	scope := p.Types.Scope()
	for _, name := range scope.Names() {
		obj := scope.Lookup(name)
		if !obj.Exported() || generic(obj) {
			continue
		}
		t.Names = append(t.Names, name)
		if form := valueForm(obj); form != "" {
			t.Entries = append(t.Entries, entry{name, fmt.Sprintf(form, used.name(p.Path)+"."+name)})
		}
		if w, ok := wrap(obj, used); ok {
			t.Wrappers = append(t.Wrappers, w)
			t.Entries = append(t.Entries, entry{"_" + name, "reflect.ValueOf((*" + w.Name + ")(nil))"})
		}
	}
	return t
}

// generic reports whether an object exists only instantiated, or only as a constraint: there is no value of it.
func generic(obj types.Object) bool {
	switch obj := obj.(type) {
	case *types.Func:
		return obj.Signature().TypeParams().Len() > 0
	case *types.TypeName:
		if t, ok := obj.Type().(interface{ TypeParams() *types.TypeParamList }); ok && t.TypeParams().Len() > 0 {
			return true
		}
		i, ok := obj.Type().Underlying().(*types.Interface)
		return ok && !i.IsMethodSet()
	}
	return false
}

// valueForm is how an object stands in a table; empty for constants.
func valueForm(obj types.Object) string {
	switch obj.(type) {
	case *types.Func:
		return "reflect.ValueOf(%s)"
	case *types.Var:
		return "reflect.ValueOf(&%s).Elem()"
	case *types.TypeName:
		return "reflect.ValueOf((*%s)(nil))"
	}
	return ""
}

// wrap returns the wrapper of an interface type that code outside its package can implement.
func wrap(obj types.Object, used imports) (wrapper, bool) {
	if _, ok := obj.(*types.TypeName); !ok {
		return wrapper{}, false
	}
	i, ok := obj.Type().Underlying().(*types.Interface)
	if !ok {
		return wrapper{}, false
	}
	w := wrapper{Name: "_" + alias(obj.Pkg().Path()) + "_" + obj.Name()}
	seen := imports{}
	for f := range i.Methods() {
		m, ok := methodOf(f, seen)
		if !ok {
			return wrapper{}, false
		}
		w.Methods = append(w.Methods, m)
	}
	for path := range seen {
		used.name(path)
	}
	return w, true
}

var (
	internalPath = regexp.MustCompile(`(^|/)(internal|vendor)(/|$)`)
	hiddenName   = regexp.MustCompile(`\w\.\p{Ll}`) // pkg.name
)

// methodOf spells out a method; it fails if the method or a type of its signature cannot be named outside its package.
func methodOf(f *types.Func, used imports) (method, bool) {
	visible := f.Exported()
	spell := func(t types.Type) string {
		text := types.TypeString(t, func(p *types.Package) string {
			visible = visible && !internalPath.MatchString(p.Path())
			return used.name(p.Path())
		})
		visible = visible && !hiddenName.MatchString(text)
		return text
	}
	sig := f.Signature()
	var params, args, results []string
	for i := range sig.Params().Len() {
		name, t := fmt.Sprintf("a%d", i), sig.Params().At(i).Type()
		if sig.Variadic() && i == sig.Params().Len()-1 {
			params = append(params, name+" ..."+spell(t.(*types.Slice).Elem()))
			args = append(args, name+"...")
			continue
		}
		params = append(params, name+" "+spell(t))
		args = append(args, name)
	}
	for v := range sig.Results().Variables() {
		results = append(results, spell(v.Type()))
	}
	join := func(list []string) string { return "(" + strings.Join(list, ", ") + ")" }
	m := method{Name: f.Name(), Params: join(params), Results: join(results), Args: join(args)}
	if len(results) > 0 {
		m.Return = "return "
	}
	return m, visible
}
