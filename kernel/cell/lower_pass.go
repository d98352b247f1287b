package cell

import (
	"fmt"
	"go/types"
	"regexp"
	"slices"
	"strings"
)

// How arguments reach functions of cells. The interpreter does not pass on an argument that it takes for the zero value of its type, and to it a negative
// zero is one. So a floating-point parameter has a companion, which says that it is a negative zero, and a parameter with such parts comes in a struct.

// passing is how a parameter is passed.
type passing int

const (
	plainly  passing = iota
	withSign         // with a companion
	inside           // as the field V of a struct
)

func (l *lowerer) passing(t types.Type) passing {
	b, ok := t.Underlying().(*types.Basic)
	switch {
	case l.isCut(t):
		return plainly
	case ok && b.Info()&types.IsFloat != 0:
		return withSign
	case hasFloat(t):
		return inside
	}
	return plainly
}

// hasFloat reports whether a value of type t has a floating-point number in itself.
func hasFloat(t types.Type) bool {
	switch u := t.Underlying().(type) {
	case *types.Basic:
		return u.Info()&(types.IsFloat|types.IsComplex) != 0
	case *types.Array:
		return hasFloat(u.Elem())
	case *types.Struct:
		return slices.ContainsFunc(slices.Collect(u.Fields()), func(f *types.Var) bool { return hasFloat(f.Type()) })
	}
	return false
}

// formals is what a function of a cell takes that is called by name.
type formals struct {
	types    []types.Type // of the receiver, if there is one, and the parameters
	variadic bool
	results  string
}

// formalsOf describes a function or method; recv is the type of the receiver, or nil.
func (l *lowerer) formalsOf(recv types.Type, sig *types.Signature) formals {
	f := formals{variadic: sig.Variadic(), results: l.results(sig)}
	if recv != nil {
		f.types = append(f.types, l.subst(recv))
	}
	for _, t := range tupleTypes(sig.Params()) {
		f.types = append(f.types, l.subst(t))
	}
	return f
}

func (f formals) isVariadic(i int) bool { return f.variadic && i == len(f.types)-1 }

// declareParams returns the parameter list for the given names, and what the function has to do first. Names of parameters that come inside a struct stand for the
// struct.
func (l *lowerer) declareParams(f formals, names []string) (list string, first []string) {
	var params, signs []string
	for i, t := range f.types {
		typ := l.typ(t)
		switch p := l.passing(t); {
		case f.isVariadic(i):
			typ = "..." + l.typ(elem(t))
		case p == withSign:
			signs = append(signs, names[i]+"_n bool")
			first = append(first, fmt.Sprintf("if %s_n { %s = %s(%s) }", names[i], names[i], typ, negativeZeroName))
		case p == inside:
			typ = "*" + l.cellOf(typ)
		}
		params = append(params, names[i]+" "+typ)
	}
	if f.variadic { // the companions stand in front of a list of any length
		last := len(params) - 1
		params = append(slices.Clone(params[:last]), append(signs, params[last])...)
	} else {
		params = append(params, signs...)
	}
	return strings.Join(params, ", "), first
}

// repeatedly matches the text of an argument that may be evaluated twice: it calls nothing but conversions.
var (
	conversionCall = regexp.MustCompile(`\b(float64|float32|int)\(`)
	anyCall        = regexp.MustCompile(`[\pL\pN_)\]]\(|[{"]`)
	literalNumber  = regexp.MustCompile(`^float(32|64)\(([-+.e\d]+)\)$`)
)

func mayRepeat(text string) bool {
	return len(text) < 80 && !anyCall.MatchString(conversionCall.ReplaceAllString(text, "("))
}

// callByName writes a call of a function of a cell.
func (l *lowerer) callByName(name string, f formals, args []string) string {
	if !slices.ContainsFunc(f.types, func(t types.Type) bool { return l.passing(t) != plainly }) {
		return callText(name, args)
	}
	for i, t := range f.types {
		if i < len(args) && !f.isVariadic(i) && l.passing(t) == withSign && !mayRepeat(args[i]) {
			return l.callPacked(name, f, args)
		}
	}
	return callText(name, l.actuals(f, args))
}

// actuals are the arguments of a call with their companions.
func (l *lowerer) actuals(f formals, args []string) []string {
	var out, signs, list []string
	for i, a := range args {
		if f.variadic && i >= len(f.types)-1 {
			list = append(list, a)
			continue
		}
		switch l.passing(f.types[i]) {
		case withSign:
			signs = append(signs, isNegativeZero(a))
		case inside:
			a = "&" + l.cellOf(l.typ(f.types[i])) + "{V: " + a + "}"
		}
		out = append(out, a)
	}
	return append(append(out, signs...), list...)
}

// isNegativeZero is a condition on a number.
func isNegativeZero(x string) string {
	if m := literalNumber.FindStringSubmatch(x); m != nil {
		return "false"
	}
	return fmt.Sprintf("((%s == 0) && ((1 / %s) < 0))", x, x)
}

// callPacked calls a function through a helper that takes all arguments in a struct, so that they can be evaluated once and looked at twice.
func (l *lowerer) callPacked(name string, f formals, args []string) string {
	var fields, values, passed []string
	for i, t := range f.types {
		field, typ := fmt.Sprintf("A%d", i), l.typ(t)
		value := "x." + field
		if f.isVariadic(i) {
			fields, passed = append(fields, field+" []"+l.typ(elem(t))), append(passed, value+"...")
			values = append(values, field+": "+l.listOf(args[i:], l.typ(elem(t))))
			continue
		}
		fields, passed, values = append(fields, field+" "+typ), append(passed, value), append(values, field+": "+args[i])
	}
	pack := l.namedStruct("struct{" + strings.Join(fields, "; ") + "}")
	give := ""
	if f.results != "" {
		give = "return "
	}
	helper := l.helper("packed", fmt.Sprintf("(x *%s)%s { %s%s }", pack, f.results, give, callText(name, l.actuals(f, passed))))
	return helper + "(&" + pack + "{" + strings.Join(values, ", ") + "})"
}

// listOf is the slice of the arguments for a variadic parameter.
func (l *lowerer) listOf(args []string, elem string) string {
	if len(args) == 1 {
		if s, ok := strings.CutSuffix(args[0], "..."); ok {
			return s
		}
	}
	if len(args) == 0 {
		return "nil"
	}
	return "[]" + elem + "{" + strings.Join(args, ", ") + "}"
}
