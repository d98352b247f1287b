package cell

import (
	"fmt"
	"go/ast"
	"go/types"
	"reflect"
	"strings"
)

// Calls of encoding/json with values of types that only the cell knows go through a view of the machine.

// jsonWriters are the functions that are given a view in place of their first argument.
var jsonWriters = map[string]bool{"encoding/json.Marshal": true, "encoding/json.MarshalIndent": true, "(*encoding/json.Encoder).Encode": true}

// jsonWritten lowers what encoding/json is to write.
func (l *lowerer) jsonWritten(a ast.Expr) string {
	t := l.typeOf(a)
	if why := l.jsonTrouble(t, false, nil); why != "" {
		return l.refuse(a, "encoding/json cannot write a %s in a cell: %s", l.typeString(t), why)
	}
	return runtimeName + ".JSONView(" + l.value(a, anyType) + ")"
}

// jsonRead lowers a call by which encoding/json reads into its last argument, if that points to something of a type that only the cell knows.
func (l *lowerer) jsonRead(e *ast.CallExpr, f *types.Func) (string, bool) {
	last := len(e.Args) - 1
	if last < 0 || l.spread(e) != nil {
		return "", false
	}
	t := l.typeOf(e.Args[last])
	if !types.IsInterface(t) && !l.celled(t) {
		return "", false
	}
	if why := l.jsonTrouble(t, true, nil); why != "" {
		return l.refuse(e.Args[last], "encoding/json cannot read into a %s in a cell: %s", l.typeString(t), why), true
	}
	x := l.value(e.Args[last], anyType)
	if f.Signature().Recv() == nil {
		return fmt.Sprintf("%s.JSONUnmarshal(%s, %s)", runtimeName, l.value(e.Args[0], f.Signature().Params().At(0).Type()), x), true
	}
	c := l.callee(e)
	return fmt.Sprintf("%s.JSONDecode(%s, %s)", runtimeName, c.receiver, x), true
}

// jsonTrouble says why encoding/json cannot deal with values of type t, or nothing.
func (l *lowerer) jsonTrouble(t types.Type, reading bool, above []types.Type) string {
	t = l.subst(t)
	for _, a := range above {
		if types.Identical(a, t) {
			return ""
		}
	}
	if !l.celled(t) || len(above) > 0 && l.jsonItself(t, reading) {
		return ""
	}
	if reading && l.isCut(t) && !isPointer(t) {
		return "a list or map in it contains itself: use pointers"
	}
	switch u := t.Underlying().(type) {
	case *types.Map:
		if b, ok := u.Key().Underlying().(*types.Basic); ok && b.Info()&types.IsString == 0 && l.jsonItself(u.Key(), reading) {
			return "the keys of a map have methods for it"
		}
	case *types.Struct:
		if why := l.jsonFieldTrouble(u, reading); why != "" {
			return why
		}
	}
	for _, p := range parts(t) {
		if why := l.jsonTrouble(p, reading, append(above, t)); why != "" {
			return why
		}
	}
	return ""
}

// jsonItself reports whether values of t, or pointers to them, write or read themselves.
func (l *lowerer) jsonItself(t types.Type, reading bool) bool {
	names := []string{"MarshalJSON", "MarshalText"}
	if reading {
		names = []string{"UnmarshalJSON", "UnmarshalText"}
	}
	if types.IsInterface(t) {
		return false
	}
	set := types.NewMethodSet(types.NewPointer(t))
	return set.Lookup(nil, names[0]) != nil || set.Lookup(nil, names[1]) != nil
}

func (l *lowerer) jsonFieldTrouble(s *types.Struct, reading bool) string {
	for i := range s.NumFields() {
		f := s.Field(i)
		t := l.subst(f.Type())
		_, options, _ := strings.Cut(reflect.StructTag(s.Tag(i)).Get("json"), ",")
		p, isPointer := types.Unalias(t).(*types.Pointer)
		switch {
		case strings.Contains(options, "omitzero") && l.celled(t):
			return "omitzero at a field of a type that the cell has declared"
		case !f.Embedded():
		case !l.celled(t) && types.NewMethodSet(types.NewPointer(t)).Len() > 0:
			return "it embeds " + l.typeString(t)
		case isPointer && !l.celled(p.Elem()):
			return "it embeds " + l.typeString(t)
		case isPointer && reading && !f.Exported():
			return "it embeds a pointer to a type that is not exported"
		}
	}
	return ""
}
