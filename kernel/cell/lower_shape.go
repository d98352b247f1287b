package cell

import (
	"fmt"
	"go/types"
	"maps"
	"slices"
	"strings"
)

// celled reports whether the interpreter's values of type t have lost what t is: a named type of a cell, or one with a part that is.
func (l *lowerer) celled(t types.Type) bool { return celled(l.subst(t), nil) }

func celled(t types.Type, above []types.Type) bool {
	t = types.Unalias(t)
	if slices.Contains(above, t) {
		return false
	}
	switch u := t.(type) {
	case *types.Named:
		return fromCell(u.Obj())
	case *types.Struct:
		return true
	case *types.Interface:
		return u.NumMethods() > 0
	}
	return slices.ContainsFunc(parts(t), func(p types.Type) bool { return celled(p, append(above, t)) })
}

// shape returns the number of a type, by which lowered source names it to the machine.
func (l *lowerer) shape(t types.Type) int {
	t = l.subst(t)
	s := l.front.session
	id, ok := s.shapes.At(t).(int)
	if !ok {
		id = s.shapes.Len() + 1
		s.shapes.Set(t, id)
	}
	if _, ok := l.shapes[id]; !ok {
		l.shapes[id] = t
		for _, p := range shapeParts(t) {
			l.shape(p)
		}
	}
	return id
}

// shapeParts lists the types that a shape refers to.
func shapeParts(t types.Type) []types.Type {
	if n, ok := types.Unalias(t).(*types.Named); ok && !fromCell(n.Obj()) {
		return nil
	}
	return parts(t)
}

// box returns the number of a type whose values become interface values; the machine will be told its methods, and those of its parts: whoever prints the
// value may call them.
func (l *lowerer) box(t types.Type) int {
	id := l.shape(t)
	if !l.boxed[id] {
		l.boxed[id] = true
		for _, p := range shapeParts(l.subst(t)) {
			l.boxPart(p)
		}
	}
	return id
}

// boxPart has the machine told the methods of what a value is made of, which fmt and encoding/json look for.
func (l *lowerer) boxPart(t types.Type) {
	t = l.subst(t)
	if types.IsInterface(t) || !l.celled(t) || l.boxed[l.shape(t)] {
		return
	}
	l.box(t)
	if _, named := types.Unalias(t).(*types.Named); named && (l.jsonItself(t, false) || l.jsonItself(t, true)) {
		l.box(types.NewPointer(t)) // which is what an element of a slice is to them
	}
}

// describeAll describes the types that the program has mentioned.
func (l *lowerer) describeAll() []Shape {
	var out []Shape
	for _, id := range slices.Sorted(maps.Keys(l.shapes)) {
		out = append(out, l.describe(id, l.shapes[id]))
	}
	return out
}

func (l *lowerer) describe(id int, t types.Type) Shape {
	s := Shape{ID: id, Name: typeName(t), Celled: l.celled(t), Cut: l.isCut(t)}
	if n, ok := types.Unalias(t).(*types.Named); ok {
		s.Named = true
		if !fromCell(n.Obj()) {
			l.describeCompiled(&s, n)
			return s
		}
	}
	switch u := t.Underlying().(type) {
	case *types.Basic:
		s.Kind = u.Name()
	case *types.Pointer:
		s.Kind = "pointer"
	case *types.Slice:
		s.Kind = "slice"
	case *types.Array:
		s.Kind, s.Len = "array", int(u.Len())
	case *types.Chan:
		s.Kind, s.Len = "chan", int(u.Dir())
	case *types.Map:
		s.Kind = "map"
		s.Key = l.shape(u.Key())
	case *types.Signature:
		l.describeFunc(&s, u)
	case *types.Struct:
		l.describeStruct(&s, u)
	case *types.Interface:
		s.Kind, s.Methods = "interface", l.methodKeys(u)
	}
	if e, ok := t.Underlying().(interface{ Elem() types.Type }); ok {
		s.Elem = l.shape(e.Elem())
	}
	return s
}

// describeCompiled describes a type that the machine has as it is.
func (l *lowerer) describeCompiled(s *Shape, n *types.Named) {
	s.Kind = "compiled"
	if n.Obj().Pkg() != nil {
		s.Path, s.Symbol = n.Obj().Pkg().Path(), l.symbolOf(n.Obj())
	}
	if i, ok := n.Underlying().(*types.Interface); ok {
		s.Kind, s.Methods = "compiled interface", l.methodKeys(i)
	}
}

// methodKeys lists the methods of an interface with their types.
func (l *lowerer) methodKeys(i *types.Interface) []string {
	var out []string
	for m := range i.Methods() {
		out = append(out, l.methodKey(m.Name(), m.Type()))
	}
	return out
}

// methodKey is a method's name and its type without the names of parameters.
func (l *lowerer) methodKey(name string, t types.Type) string {
	sig := l.subst(t).(*types.Signature)
	return name + strings.TrimPrefix(typeName(sig), "func")
}

func (l *lowerer) describeFunc(s *Shape, sig *types.Signature) {
	s.Kind, s.Variadic = "func", sig.Variadic()
	for _, t := range tupleTypes(sig.Params()) {
		s.In = append(s.In, l.shape(t))
	}
	for _, t := range tupleTypes(sig.Results()) {
		s.Out = append(s.Out, l.shape(t))
	}
}

func (l *lowerer) describeStruct(s *Shape, t *types.Struct) {
	s.Kind = "struct"
	for i := range t.NumFields() {
		f := t.Field(i)
		s.Fields = append(s.Fields, Field{Name: f.Name(), Type: l.shape(f.Type()), Embedded: f.Embedded(), Exported: f.Exported(), Tag: t.Tag(i)})
	}
}

// registerMethods returns the statements that tell the machine the methods of a type: functions that take the receiver as an interface value.
func (l *lowerer) registerMethods(id int) []string {
	t := l.shapes[id]
	var out []string
	set := types.NewMethodSet(t)
	for i := range set.Len() {
		sel := set.At(i)
		if !sel.Obj().Exported() && !fromCell(sel.Obj()) { // nobody can call it
			continue
		}
		out = append(out, fmt.Sprintf("%s.Method(%d, %q, %s)", runtimeName, id, l.methodKey(sel.Obj().Name(), sel.Type()), l.thunk(t, sel)))
	}
	return out
}

// thunk returns a function literal that calls a method of a value of type t held in an interface.
func (l *lowerer) thunk(t types.Type, sel *types.Selection) string {
	sig := sel.Type().(*types.Signature)
	params, args := l.namedParams(sig)
	call := l.selected("("+l.unboxed("x", t)+")", sel).build(args)
	return fmt.Sprintf("func(%s)%s {\n%s%s%s\n}", strings.Join(append([]string{"x " + emptyInterface}, params...), ", "), l.results(sig), l.nilReceiver("x", t, sel),
		returnIf(sig), call)
}

// nilReceiver returns a statement that fails as compiled Go does if a method of a value is called by a nil pointer that x holds.
func (l *lowerer) nilReceiver(x string, t types.Type, sel *types.Selection) string {
	m := sel.Obj().(*types.Func)
	p, ok := t.Underlying().(*types.Pointer)
	if !ok || !fromCell(m) || len(sel.Index()) > 1 || isPointer(m.Signature().Recv().Type()) {
		return ""
	}
	name := typeName(p.Elem())
	text := fmt.Sprintf("value method %s.%s called using nil *%s pointer", name, m.Name(), strings.TrimPrefix(name, "main."))
	return fmt.Sprintf("if %s == nil { %s.Plain(%q) }\n", l.unboxed(x, t), runtimeName, text)
}

// namedParams returns parameter declarations a0, a1 and so on for a signature, and the arguments that pass them on.
func (l *lowerer) namedParams(sig *types.Signature) (params, args []string) {
	for i := range sig.Params().Len() {
		name := fmt.Sprintf("a%d", i)
		params = append(params, name+" "+l.paramType(sig, i))
		if sig.Variadic() && i == sig.Params().Len()-1 {
			name += "..."
		}
		args = append(args, name)
	}
	return params, args
}

func returnIf(sig *types.Signature) string {
	if sig.Results().Len() > 0 {
		return "return "
	}
	return ""
}

// unboxed turns what the machine holds of a value of type t into that value.
func (l *lowerer) unboxed(x string, t types.Type) string {
	typ := l.typ(t)
	switch s, ok := l.subst(t).Underlying().(*types.Struct); {
	case typ == emptyInterface:
		return x
	case ok && s.NumFields() == 0: // the interpreter looks for a first field
		return l.helper("empty", "(x "+emptyInterface+") "+typ+" { return "+typ+"{} }") + "(" + x + ")"
	}
	return x + ".(" + typ + ")"
}
