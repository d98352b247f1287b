package cell

import (
	"go/ast"
	"go/types"
	"slices"
	"strings"
)

// Generic functions are lowered once for each list of type arguments that they are used with.

// instantiate returns the interpreter's name of an instance of a generic function.
func (l *lowerer) instantiate(id *ast.Ident, f *types.Func, inst types.Instance) string {
	f = f.Origin()
	var args []types.Type
	for t := range inst.TypeArgs.Types() {
		args = append(args, l.subst(t))
	}
	if !fromCell(f) {
		return l.refuse(id, "the generic function %s.%s cannot be used in a cell: there is no compiled code for it", f.Pkg().Name(), f.Name())
	}
	if name := l.native(f, args); name != "" {
		return name
	}
	return l.instance(f, f.Signature().TypeParams(), args)
}

// native returns the compiled function that does the same as the instance of a generic one, for sorting: interpreted it takes hundreds of times as long.
func (l *lowerer) native(f *types.Func, args []types.Type) string {
	if f.FullName() != sourcePath+"slices.Sort" {
		return ""
	}
	switch typ := l.concrete(args[0]); typ {
	case "[]int", "[]float64", "[]string":
		return runtimeName + ".Sort" + strings.ToUpper(typ[2:3]) + typ[3:]
	}
	return ""
}

// instantiateMethod returns the interpreter's name of a method of an instance of a generic type.
func (l *lowerer) instantiateMethod(m *types.Func, t *types.Named) string {
	return l.instance(m, m.Signature().RecvTypeParams(), slices.Collect(t.TypeArgs().Types()))
}

// instance returns the name of the instance of f for type arguments; the first use in a program lowers it.
func (l *lowerer) instance(f *types.Func, params *types.TypeParamList, args []types.Type) string {
	for _, i := range slices.Concat(l.instances, l.front.session.packaged) {
		if i.origin == f && slices.EqualFunc(i.args, args, types.Identical) {
			return i.name
		}
	}
	i := &instance{origin: f, args: args, name: l.fresh(f.Name())}
	l.instances = append(l.instances, i)
	i.substitution = &substitution{args: map[*types.TypeParam]types.Type{}, context: l.front.session.context}
	for k := range params.Len() {
		i.substitution.args[params.At(k)] = args[k]
	}
	return i.name
}

// instance is a generic function or method with type arguments.
type instance struct {
	origin       *types.Func
	args         []types.Type
	name         string
	substitution *substitution
	done         bool
}

// source finds a function of this cell, an earlier one or a package.
func (l *lowerer) source(f *types.Func) *declaredFunc {
	for _, d := range l.cell.functions {
		if d.object == f {
			return d
		}
	}
	if d := l.front.session.functions[f]; d != nil {
		return d
	}
	return l.front.importer.function(f)
}

// packaged returns the instances of functions of packages: their source stays, so later programs need not lower them again.
func (l *lowerer) packaged() []*instance {
	return slices.DeleteFunc(slices.Clone(l.instances), func(i *instance) bool { return !fromSource(i.origin.Pkg()) })
}

// lowerInstances lowers the instances that are still missing and reports whether there were any.
func (l *lowerer) lowerInstances() bool {
	any := false
	for k := 0; k < len(l.instances); k++ {
		i := l.instances[k]
		if i.done {
			continue
		}
		i.done, any = true, true
		g := l.source(i.origin)
		for k := range g.body.Signature().TypeParams().Len() { // the body knows type parameters of its own
			i.substitution.args[g.body.Signature().TypeParams().At(k)] = i.args[k]
		}
		outer, info := l.typeArgs, l.info
		l.typeArgs, l.info, l.quiet = i.substitution, g.info, fromSource(i.origin.Pkg())
		l.body(g, i.name)
		l.typeArgs, l.info, l.quiet = outer, info, false
	}
	return any
}
