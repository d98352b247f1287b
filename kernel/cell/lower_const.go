package cell

import (
	"fmt"
	"go/constant"
	"go/types"
	"strconv"
	"strings"
)

// constant returns the literal of a constant value of type t.
func (l *lowerer) constant(v constant.Value, t types.Type) string {
	text := l.bare(v, t)
	if _, named := types.Unalias(t).(*types.Named); named && !types.IsInterface(t) && !l.celled(t) {
		return l.typ(t) + "(" + text + ")" // as an interface value it has the methods of its type, such as time.Duration's
	}
	return text
}

// bare returns the literal of a constant without the name of its type.
func (l *lowerer) bare(v constant.Value, t types.Type) string {
	b, ok := t.Underlying().(*types.Basic)
	if !ok { // an interface
		return l.bare(v, defaultOf(v))
	}
	b = types.Default(b).(*types.Basic)
	switch info := b.Info(); {
	case info&types.IsBoolean != 0:
		return strconv.FormatBool(constant.BoolVal(v))
	case info&types.IsString != 0:
		return strconv.Quote(constant.StringVal(v))
	case info&types.IsInteger != 0:
		return integer(constant.ToInt(v), b)
	case info&types.IsFloat != 0:
		return float(v, b)
	case info&types.IsComplex != 0:
		return l.complexLiteral(v, b)
	}
	return l.unsupported("constants of type %s", t)
}

func defaultOf(v constant.Value) types.Type {
	return types.Typ[map[constant.Kind]types.BasicKind{
		constant.Bool: types.Bool, constant.String: types.String, constant.Int: types.Int, constant.Float: types.Float64, constant.Complex: types.Complex128,
	}[v.Kind()]]
}

func integer(v constant.Value, b *types.Basic) string {
	text := v.ExactString()
	if text == "-9223372036854775808" {
		text = "-9223372036854775807 - 1" // the interpreter negates after it has read the digits
	}
	if b.Kind() == types.Int && !strings.HasPrefix(text, "-") {
		return text
	}
	return fmt.Sprintf("%s(%s)", b.Name(), text)
}

// float returns a literal that is read back as exactly the value that the compiler would round v to.
func float(v constant.Value, b *types.Basic) string {
	v = constant.ToFloat(v)
	if b.Kind() == types.Float32 {
		x, _ := constant.Float32Val(v)
		return "float32(" + strconv.FormatFloat(float64(x), 'g', -1, 64) + ")"
	}
	x, _ := constant.Float64Val(v)
	return "float64(" + strconv.FormatFloat(x, 'g', -1, 64) + ")"
}

func (l *lowerer) complexLiteral(v constant.Value, b *types.Basic) string {
	v = constant.ToComplex(v)
	part := types.Typ[types.Float64]
	if b.Kind() == types.Complex64 {
		part = types.Typ[types.Float32]
	}
	return l.complexOf(float(constant.Real(v), part), float(constant.Imag(v), part), b.Name())
}
