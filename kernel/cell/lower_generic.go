package cell

import (
	"go/ast"
	"go/types"
	"slices"
	"strings"
)

// Generic functions are lowered once in a session for each list of type arguments that they are used with. Values of functions are lowered apart from
// them: a value stays what it is when the name of the function means another.

// instance is a generic function or method with type arguments, or the value of a function.
type instance struct {
	origin       *types.Func
	args         []types.Type
	value        bool
	unit         *unit
	substitution *substitution // nil if the function is not generic
	replaces     bool          // the same of an earlier declaration
	done         bool
}

// instantiate returns the interpreter's name of an instance of a generic function.
func (l *lowerer) instantiate(id *ast.Ident, f *types.Func, inst types.Instance, asValue bool) string {
	f = f.Origin()
	var args []types.Type
	for t := range inst.TypeArgs.Types() {
		args = append(args, l.subst(t))
	}
	if !fromCell(f) {
		return l.refuse(id, "the generic function %s.%s cannot be used in a cell: there is no compiled code for it, so write what it does as a function of your own", f.Pkg().Name(), f.Name())
	}
	if name := l.native(f, args); name != "" {
		return name
	}
	return l.instance(f, args, asValue).unit.name
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

// instance returns the instance of f for type arguments; the first use in a session lowers it.
func (l *lowerer) instance(f *types.Func, args []types.Type, value bool) *instance {
	value = value && !fromSource(f.Pkg())
	same := func(i *instance) bool {
		return i.origin == f && i.value == value && slices.EqualFunc(i.args, args, types.Identical)
	}
	if k := slices.IndexFunc(l.instances, same); k >= 0 {
		return l.instances[k]
	}
	if k := slices.IndexFunc(l.front.session.instances, same); k >= 0 {
		return l.front.session.instances[k]
	}
	return l.newInstance(f, args, value, nil)
}

// newInstance makes an instance that takes the place of old, if that is not nil.
func (l *lowerer) newInstance(f *types.Func, args []types.Type, value bool, old *unit) *instance {
	i := &instance{origin: f, args: args, value: value, replaces: old != nil}
	sig := l.source(f).body.Signature()
	if isGeneric(f) {
		i.substitution = &substitution{args: map[*types.TypeParam]types.Type{}, context: l.front.session.context}
		for _, list := range []*types.TypeParamList{f.Signature().TypeParams(), f.Signature().RecvTypeParams(), sig.TypeParams()} {
			for k := range list.Len() { // the body knows type parameters of its own
				i.substitution.args[list.At(k)] = args[k]
			}
		}
		sig = i.substitution.apply(sig).(*types.Signature)
	}
	i.unit = l.newUnit(f.Name(), sig, old)
	if fromSource(f.Pkg()) {
		i.unit.next = "" // nothing ever takes its place
	}
	l.instances = append(l.instances, i)
	return i
}

// source finds a function of this cell, an earlier one or a package.
func (l *lowerer) source(f *types.Func) *declaredFunc {
	for _, d := range l.cell.functions {
		if d.object == f {
			return d
		}
	}
	for _, r := range l.cell.again {
		if r.new.object == f {
			return r.new
		}
	}
	if d := l.front.session.functions[f]; d != nil {
		return d
	}
	return l.front.importer.function(f)
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
		outer, info := l.typeArgs, l.info
		l.typeArgs, l.info, l.quiet = i.substitution, g.info, fromSource(i.origin.Pkg()) && !isLocal(i.origin.Pkg())
		l.lowerAs(g, i.unit, i.replaces)
		l.typeArgs, l.info, l.quiet = outer, info, false
	}
	return any
}
