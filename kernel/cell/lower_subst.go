package cell

import (
	"go/ast"
	"go/types"
)

// typeOf returns the type of an expression; inside an instance of a generic function with its type arguments put in.
func (l *lowerer) typeOf(e ast.Expr) types.Type {
	t := l.info.Types[e].Type
	if t == nil {
		if id, ok := e.(*ast.Ident); ok {
			if o := l.info.ObjectOf(id); o != nil {
				t = o.Type()
			}
		}
	}
	return l.subst(t)
}

// objectType is the type of a variable, likewise.
func (l *lowerer) objectType(o types.Object) types.Type { return l.subst(o.Type()) }

// subst puts the type arguments of the current instance into t.
func (l *lowerer) subst(t types.Type) types.Type {
	if l.typeArgs == nil || t == nil {
		return t
	}
	return l.typeArgs.apply(t)
}

// substitution replaces type parameters.
type substitution struct {
	args    map[*types.TypeParam]types.Type
	context *types.Context
}

func (s *substitution) apply(t types.Type) types.Type {
	switch t := t.(type) {
	case *types.TypeParam:
		if a := s.args[t]; a != nil {
			return a
		}
	case *types.Alias:
		return s.apply(types.Unalias(t))
	case *types.Pointer:
		return types.NewPointer(s.apply(t.Elem()))
	case *types.Slice:
		return types.NewSlice(s.apply(t.Elem()))
	case *types.Array:
		return types.NewArray(s.apply(t.Elem()), t.Len())
	case *types.Map:
		return types.NewMap(s.apply(t.Key()), s.apply(t.Elem()))
	case *types.Chan:
		return types.NewChan(t.Dir(), s.apply(t.Elem()))
	case *types.Tuple:
		return s.tuple(t)
	case *types.Signature:
		return types.NewSignatureType(t.Recv(), nil, nil, s.tuple(t.Params()), s.tuple(t.Results()), t.Variadic())
	case *types.Struct:
		return s.structType(t)
	case *types.Interface:
		return s.interfaceType(t)
	case *types.Named:
		return s.named(t)
	}
	return t
}

func (s *substitution) tuple(t *types.Tuple) *types.Tuple {
	var vars []*types.Var
	for v := range t.Variables() {
		vars = append(vars, types.NewParam(v.Pos(), v.Pkg(), v.Name(), s.apply(v.Type())))
	}
	return types.NewTuple(vars...)
}

func (s *substitution) structType(t *types.Struct) types.Type {
	var fields []*types.Var
	var tags []string
	for i := range t.NumFields() {
		f := t.Field(i)
		fields = append(fields, types.NewField(f.Pos(), f.Pkg(), f.Name(), s.apply(f.Type()), f.Embedded()))
		tags = append(tags, t.Tag(i))
	}
	return types.NewStruct(fields, tags)
}

func (s *substitution) interfaceType(t *types.Interface) types.Type {
	var methods []*types.Func
	var embedded []types.Type
	for m := range t.ExplicitMethods() {
		methods = append(methods, types.NewFunc(m.Pos(), m.Pkg(), m.Name(), s.apply(m.Type()).(*types.Signature)))
	}
	for e := range t.EmbeddedTypes() {
		embedded = append(embedded, s.apply(e))
	}
	return types.NewInterfaceType(methods, embedded).Complete()
}

func (s *substitution) named(t *types.Named) types.Type {
	if t.TypeArgs().Len() == 0 {
		return t
	}
	var args []types.Type
	for a := range t.TypeArgs().Types() {
		args = append(args, s.apply(a))
	}
	inst, err := types.Instantiate(s.context, t.Origin(), args, false)
	if err != nil {
		return t
	}
	return inst
}
