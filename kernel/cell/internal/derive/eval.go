package derive

import "math"

// dual is a number with its derivative.
type dual struct{ v, d float64 }

// function is a function of mathematics: how it is written, its value and its derivative.
type function struct {
	latex string
	value func(float64) float64
	slope func(x float64) float64
}

// functions are those of package math with one argument that formulas know by name.
var functions = map[string]function{
	"sin":    {`\sin`, math.Sin, math.Cos},
	"cos":    {`\cos`, math.Cos, func(x float64) float64 { return -math.Sin(x) }},
	"tan":    {`\tan`, math.Tan, func(x float64) float64 { return 1 / (math.Cos(x) * math.Cos(x)) }},
	"arcsin": {`\arcsin`, math.Asin, func(x float64) float64 { return 1 / math.Sqrt(1-x*x) }},
	"arccos": {`\arccos`, math.Acos, func(x float64) float64 { return -1 / math.Sqrt(1-x*x) }},
	"arctan": {`\arctan`, math.Atan, func(x float64) float64 { return 1 / (1 + x*x) }},
	"sinh":   {`\sinh`, math.Sinh, math.Cosh},
	"cosh":   {`\cosh`, math.Cosh, math.Sinh},
	"tanh":   {`\tanh`, math.Tanh, func(x float64) float64 { t := math.Tanh(x); return 1 - t*t }},
	"ln":     {`\ln`, math.Log, func(x float64) float64 { return 1 / x }},
	"lg":     {`\lg`, math.Log10, func(x float64) float64 { return 1 / (x * math.Ln10) }},
}

// evaluate returns the value of a formula and its derivative by one operand. It reports false for what it does not know, such as calls of other functions.
func (n *Node) evaluate(values []float64, by int) (dual, bool) {
	if n.Op == Cases {
		return n.evaluateCases(values, by)
	}
	args := make([]dual, len(n.Args))
	for i := range n.Args {
		var ok bool
		if args[i], ok = n.Args[i].evaluate(values, by); !ok {
			return dual{}, false
		}
	}
	switch n.Op {
	case Number, Constant, Unit:
		return dual{v: n.Value}, true
	case Operand:
		if n.Index == 0 || n.Index > len(values) {
			return dual{}, false
		}
		x := dual{v: values[n.Index-1]}
		if n.Index == by {
			x.d = 1
		}
		return x, true
	case Uncertain:
		return args[0], true
	}
	return n.apply(args)
}

// apply combines the values of the arguments.
func (n *Node) apply(args []dual) (dual, bool) {
	var a, b dual
	if len(args) > 0 {
		a = args[0]
	}
	if len(args) > 1 {
		b = args[1]
	}
	switch n.Op {
	case Neg:
		return dual{-a.v, -a.d}, true
	case Add:
		return dual{a.v + b.v, a.d + b.d}, true
	case Sub:
		return dual{a.v - b.v, a.d - b.d}, true
	case Mul:
		return dual{a.v * b.v, a.d*b.v + a.v*b.d}, true
	case Div:
		return dual{a.v / b.v, (a.d*b.v - a.v*b.d) / (b.v * b.v)}, true
	case Pow:
		return power(a, b), true
	case Root:
		return power(a, dual{v: 1 / n.Value}), true
	case Abs:
		return dual{math.Abs(a.v), math.Copysign(a.d, a.v*a.d)}, true
	case Exp:
		return dual{math.Exp(a.v), a.d * math.Exp(a.v)}, true
	case Call:
		return call(n.Text, args)
	}
	return dual{}, false
}

func power(a, b dual) dual {
	v := math.Pow(a.v, b.v)
	d := b.v * math.Pow(a.v, b.v-1) * a.d
	if b.d != 0 {
		d += v * math.Log(a.v) * b.d
	}
	return dual{v, d}
}

// call evaluates a function of mathematics.
func call(name string, args []dual) (dual, bool) {
	if f, ok := functions[name]; ok && len(args) == 1 {
		return dual{f.value(args[0].v), f.slope(args[0].v) * args[0].d}, true
	}
	switch {
	case name == "atan2" && len(args) == 2:
		y, x := args[0], args[1]
		return dual{math.Atan2(y.v, x.v), (x.v*y.d - y.v*x.d) / (x.v*x.v + y.v*y.v)}, true
	case (name == "max" || name == "min") && len(args) > 0:
		best := args[0]
		for _, x := range args[1:] {
			if name == "max" && x.v > best.v || name == "min" && x.v < best.v {
				best = x
			}
		}
		return best, true
	}
	return dual{}, false
}

// evaluateCases evaluates the case that holds.
func (n *Node) evaluateCases(values []float64, by int) (dual, bool) {
	for i := 0; i < len(n.Args); i += 2 {
		if i+1 < len(n.Args) {
			holds, ok := n.Args[i+1].truth(values)
			if !ok {
				return dual{}, false
			}
			if !holds {
				continue
			}
		}
		return n.Args[i].evaluate(values, by)
	}
	return dual{}, false
}

// truth evaluates a condition.
func (n *Node) truth(values []float64) (holds, ok bool) {
	switch n.Op {
	case Compare:
		a, ok := n.Args[0].evaluate(values, 0)
		b, ok2 := n.Args[1].evaluate(values, 0)
		return compare(a.v, n.Text, b.v), ok && ok2
	case Not:
		holds, ok = n.Args[0].truth(values)
		return !holds, ok
	case And, Or:
		a, ok := n.Args[0].truth(values)
		b, ok2 := n.Args[1].truth(values)
		if n.Op == And {
			return a && b, ok && ok2
		}
		return a || b, ok && ok2
	}
	return false, false
}

func compare(a float64, sign string, b float64) bool {
	switch sign {
	case "<":
		return a < b
	case "<=":
		return a <= b
	case ">":
		return a > b
	case ">=":
		return a >= b
	case "==":
		return a == b
	}
	return a != b
}
