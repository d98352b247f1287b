package cell

import (
	"go/ast"
	"go/token"
	"go/types"
	"regexp"
	"slices"
	"strings"
)

// explain words what go/types has found so that it can be understood without knowing compilers, and keeps Go's own words beside.
func (c *check) explain() {
	for i, p := range c.found {
		if p.place.File != "" {
			continue
		}
		x := explainer{c, p.pos}
		for _, w := range wordings {
			m := w.pattern.FindStringSubmatch(p.message)
			if m == nil {
				continue
			}
			if say := strings.ReplaceAll(w.say(x, m), "unit.", ""); say != "" {
				first, _, _ := strings.Cut(p.message, "\n")
				c.found[i].message, c.found[i].goSays = say, first
			}
			break
		}
	}
}

// explainer is what wordings can ask about the place of a problem.
type explainer struct {
	*check
	pos token.Pos
}

// wording replaces a message. An empty one leaves Go's words alone.
type wording struct {
	pattern *regexp.Regexp
	say     func(x explainer, m []string) string
}

func says(pattern string, say func(x explainer, m []string) string) wording {
	return wording{regexp.MustCompile("(?s)^" + pattern + "$"), say}
}

// fixed is a wording that needs only the parts of the message: $1 is the first.
func fixed(pattern, text string) wording {
	re := regexp.MustCompile("(?s)^" + pattern + "$")
	return wording{re, func(_ explainer, m []string) string { return re.ReplaceAllString(m[0], text) }}
}

// wordings are tried in order.
var wordings = []wording{
	says(`undefined: ([\pL_][\pL\pN_]*)`, explainer.undefined),
	says(`undefined: ([^.\s]+)\.(\S+)(?: \(but have (.+)\))?`, explainer.undefinedIn),
	says(`name (\S+) not exported by package (\S+)`, explainer.notExported),
	says(`(.+)\.(\S+) undefined \(type (.+) has no field or method .*\)`, explainer.noMember),
	says(`unknown field (\S+) in struct literal of type (.+)`, explainer.noField),
	says(`assignment mismatch: (\d+) variables? but (?:(.+) returns )?(\d+) values?`, explainer.mismatch),
	says(`multiple-value (.+) \(value of type .*\) in .*`, explainer.multiple),
	says(`(not enough|too many) arguments in call to (\S+)\n.*`, explainer.arguments),
	fixed(`(not enough|too many) return values\n\thave \((.*)\)\n\twant \(\)`, `return with a value belongs in a function that says in its first line what it returns`),
	fixed(`not enough return values\n\thave \((.*)\)\n\twant \((.*)\)`, `the function promises ($2) and must return that, not ($1)`),
	fixed(`too many return values\n\thave \((.*)\)\n\twant \((.*)\)`, `the function promises ($2) and must return that, not ($1)`),
	fixed(`missing return`, `the function can end here without returning a value: each way through it must end in return`),
	says(`invalid operation: (.+) \(mismatched types (.+) and (.+)\)`, explainer.mixed),
	says(`cannot use (.+) \((.+)\) as (.+?) value in (.+?)(?:: (.+)| \((truncated|overflows)\))?`, explainer.unfit),
	says(`invalid operation: cannot call (.+) \(.*\): .* is not a function`, explainer.notFunction),
	fixed(`invalid operation: operator % not defined on .*`, `% is the remainder of whole numbers: for others write math.Mod(x, y)`),
	fixed(`invalid operation: operator ! not defined on (.+) \(.* type (.+)\)`, `! turns true into false, but $1 is a $2`),
	says(`invalid operation: cannot indirect (.+) \(.*\)`, explainer.stars),
	fixed(`(.+) \(.*constant.*\) truncated to (int\d*)`, `$1 is not a whole number, and this is calculated in whole numbers`),
	fixed(`invalid operation: division by zero`, `this divides by zero`),
	fixed(`invalid argument: index (\d+) out of bounds \[0:(\d+)\]`, `there is no element $1: the $2 elements are counted from 0`),
	fixed(`cannot index (.+) \((?:variable|value) of (?:\w+ )?type (.+)\)`, `$1 is no list and has no elements`),
	fixed(`invalid operation: cannot index (.+) \((?:variable|value) of (?:\w+ )?type (.+)\)`, `$1 is no list and has no elements`),
	fixed(`no new variables on left side of :=`, `these names have been set in this cell already: write = to give them another value`),
	fixed(`(.+) \((?:value|variable|constant|untyped) .*\) is not used`, `nothing is done with $1: a cell shows its last line only; to show a value earlier write show($1)`),
	fixed(`non-boolean condition in (if|for) statement`, `what stands behind $1 must be true or false, such as a comparison x > 0`),
	fixed(`(.+) \(type\) is not an expression`, `$1 is a type, which says what a value is; here a value is wanted`),
	fixed(`use of package (\S+) not in selector`, `$1 is a package: write what you want from it, as in $1.Name`),
	fixed(`cannot assign to (.+) \(neither addressable.*\)`, `$1 cannot be changed: it is no variable`),
	fixed(`use of untyped nil in .*`, `nil alone does not say what it is nothing of: write the type, as in var x *float64`),
	fixed(`cannot range over (.+) \(.*\)`, `range counts to a whole number or goes through a list, and $1 is neither`),
	fixed(`cannot convert (.+) \(untyped string constant\) to type (.+)`, `the text $1 is no $2; strconv.ParseFloat reads a number from a text`),
	fixed(`cannot convert (.+) \((?:variable|value) of type string\) to type (.+)`, `the text $1 is no $2; strconv.ParseFloat reads a number from a text`),
	fixed(`(break|continue) (?:statement )?not in for.*`, `$1 has a place inside a loop only`),
	fixed(`label (\S+) not declared`, `there is no label $1: in this cell`),
	fixed(`package "(.+)" is not on offer here`, `there is no package $1 here; the packages of the library, fmt, math and gonum are there without import`),
	fixed(`invalid append: argument must be a slice; have (.+) \(.*\)`, `append puts elements at the end of a list, but $1 is none: write list = append(list, element)`),
	fixed(`invalid argument: (.+) \(.*\) for built-in len`, `$1 has no length: len counts the elements of a list or a text`),
	fixed(`invalid operation: cannot take address of (.+) \(.*\)`, `& wants a variable, and $1 is none`),
	fixed(`missing argument in conversion to (.+)`, `$1 needs a value in its brackets`),
}

// undefined explains a name that means nothing.
func (x explainer) undefined(m []string) string {
	name := m[1]
	if o := x.setLater(name); o != nil {
		return name + " is used before it is set in line " + x.line(o.Pos())
	}
	if x.isAssigned(name) {
		return "there is no " + name + " yet: the first time it is set write " + name + " := …"
	}
	if advice := foreignWords[name]; advice != "" {
		return "there is no " + name + " in Go: " + advice
	}
	if path := x.inMath(name); path != "" {
		return "there is no " + name + " here: write " + path
	}
	if x.isParameter() {
		return "the type is missing behind the name of the parameter: write " + name + " float64"
	}
	if near := x.near(name); len(near) > 0 {
		return "there is no " + name + " here" + didYouMean(near)
	}
	return "there is no " + name + " here; if another cell sets it, run that one first"
}

// isParameter reports whether the place is a parameter that lacks a name or a type.
func (x explainer) isParameter() bool {
	return x.find(func(n ast.Node) ast.Expr {
		if f, ok := n.(*ast.FuncType); ok {
			for _, p := range f.Params.List {
				if len(p.Names) == 0 && p.Type.Pos() == x.pos {
					return p.Type
				}
			}
		}
		return nil
	}) != nil
}

// foreignWords are names of other languages, and what Go has instead.
var foreignWords = map[string]string{
	"True": "write true", "False": "write false", "None": "write nil", "null": "write nil", "float": "the type of numbers is float64", "double": "the type of numbers is float64",
	"integer": "the type of whole numbers is int", "str": "the type of texts is string", "boolean": "the type of true and false is bool", "lambda": "write func(x float64) float64 { return … }",
	"elif": "write else if", "printf": "write fmt.Printf", "input": "write ask(\"question\")", "list": "a list of numbers is []float64{1, 2, 3}", "array": "a list of numbers is []float64{1, 2, 3}",
	"dict": "write map[string]float64{\"name\": 1}", "sum": "write floats.Sum(list)", "linspace": "write floats.Span(make([]float64, n), from, to)", "np": "math and gonum are there without import",
}

// setLater returns the variable of that name which the cell sets behind the place.
func (x explainer) setLater(name string) types.Object {
	for id, o := range x.info.Defs {
		if v, ok := o.(*types.Var); ok && id.Name == name && id.Pos() > x.pos && !v.IsField() && x.names[name] == o {
			return o
		}
	}
	return nil
}

func (x explainer) line(pos token.Pos) string {
	_, text, _ := strings.Cut(x.front.files.place(pos).String(), "line ")
	text, _, _ = strings.Cut(text, ",")
	return text
}

// isAssigned reports whether the place is the left side of an assignment.
func (x explainer) isAssigned(name string) bool {
	found := false
	ast.Inspect(x.source.body, func(n ast.Node) bool {
		if a, ok := n.(*ast.AssignStmt); ok && a.Tok == token.ASSIGN {
			found = found || slices.ContainsFunc(a.Lhs, func(e ast.Expr) bool { return e.Pos() == x.pos })
		}
		return !found
	})
	return found
}

// inMath returns the function or constant of package math that is spelled like name, if case does not matter.
func (x explainer) inMath(name string) string {
	pkg, err := x.front.importer.Import("math")
	if err != nil {
		return ""
	}
	for _, n := range pkg.Scope().Names() {
		if strings.EqualFold(n, name) && token.IsExported(n) {
			return "math." + n
		}
	}
	return ""
}

func (x explainer) undefinedIn(m []string) string {
	pkg, name := x.packageNamed(m[1]), m[2]
	if m[3] != "" {
		return "names that a package offers begin with a capital letter: write " + m[1] + "." + m[3]
	}
	if pkg == nil {
		return ""
	}
	var names []string
	for _, n := range pkg.Scope().Names() {
		if token.IsExported(n) {
			names = append(names, n)
		}
	}
	near := nearest(name, names)
	for i, n := range near {
		near[i] = m[1] + "." + n
	}
	return "package " + m[1] + " has no " + name + didYouMean(near)
}

func (x explainer) packageNamed(name string) *types.Package {
	if p, ok := x.lookup(name).(*types.PkgName); ok {
		return p.Imported()
	}
	return nil
}

func (x explainer) notExported(m []string) string {
	return m[1] + " is for the use of package " + m[2] + " alone: what it offers begins with a capital letter"
}

// noMember explains a field or method that a type does not have.
func (x explainer) noMember(m []string) string {
	sel, name := m[1], m[2]
	t := x.typeAt(func(n ast.Node) ast.Expr {
		if s, ok := n.(*ast.SelectorExpr); ok && s.Sel.Pos() == x.pos {
			return s.X
		}
		return nil
	})
	if s, ok := underlying(t).(*types.Slice); ok && name == "append" {
		return "a list grows by " + sel + " = append(" + sel + ", value), where value is a " + x.front.typeString(s.Elem())
	}
	if _, ok := underlying(t).(*types.Signature); ok {
		return sel + " is a function and has not been called: write " + sel + "(…)"
	}
	if t == nil {
		return ""
	}
	if b, ok := types.Universe.Lookup(name).(*types.Builtin); ok {
		return b.Name() + " is a function: write " + b.Name() + "(" + sel + ")"
	}
	if x.front.isConstant(name) {
		return sel + " is a number in SI units; in another one it is " + sel + "/" + name
	}
	var names []string
	for _, o := range members(t) {
		names = append(names, o.object.Name())
	}
	if b, ok := t.Underlying().(*types.Basic); ok && types.Unalias(t) == b {
		t = b // an alias may be that of another operand
	}
	return sel + " is " + article(x.front.typeString(t)) + " and has no " + name + didYouMean(nearest(name, names))
}

// typeAt returns the type of the expression that pick chooses among the nodes of the cell.
func (x explainer) typeAt(pick func(ast.Node) ast.Expr) types.Type {
	if e := x.find(pick); e != nil {
		return x.info.TypeOf(e)
	}
	return nil
}

// find returns the last expression that pick chooses, which is the innermost one.
func (x explainer) find(pick func(ast.Node) ast.Expr) (found ast.Expr) {
	for _, root := range []ast.Node{x.source.decls, x.source.body} {
		ast.Inspect(root, func(n ast.Node) bool {
			if n != nil {
				if e := pick(n); e != nil {
					found = e
				}
			}
			return true
		})
	}
	return found
}

func (x explainer) noField(m []string) string {
	t := x.typeAt(func(n ast.Node) ast.Expr {
		if lit, ok := n.(*ast.CompositeLit); ok && lit.Pos() <= x.pos && x.pos < lit.End() {
			return lit
		}
		return nil
	})
	var names []string
	for _, o := range members(t) {
		if v, ok := o.object.(*types.Var); ok && o.depth == 0 {
			names = append(names, v.Name())
		}
	}
	return m[2] + " has no field " + m[1] + didYouMean(nearest(m[1], names))
}

// mismatch explains an assignment whose sides are of different number.
func (x explainer) mismatch(m []string) string {
	switch {
	case m[2] == "" && x.decimalComma():
		return decimalCommaText
	case m[2] == "":
		return "on the left there are names for " + countOf(atoi(m[1]), "value") + " and on the right " + count(atoi(m[3]))
	case m[1] == "1" && m[3] == "2":
		if call := x.callAt(); call != nil && endsInError(x.info.TypeOf(call)) {
			return m[2] + " returns a value and an error: write must(" + types.ExprString(call) + "), which stops the cell if there is an error"
		}
	case m[1] == "2" && m[3] == "1" && m[2] == "must":
		return "must takes the error away and returns the value alone: write one name on the left"
	}
	return m[2] + " returns " + countOf(atoi(m[3]), "value") + ", and on the left there are names for " + count(atoi(m[1]))
}

// callAt returns the outermost call that starts at the place.
func (x explainer) callAt() *ast.CallExpr {
	var found *ast.CallExpr
	x.find(func(n ast.Node) ast.Expr {
		if c, ok := n.(*ast.CallExpr); ok && found == nil && c.Pos() == x.pos {
			found = c
		}
		return nil
	})
	return found
}

func endsInError(t types.Type) bool {
	tuple, ok := t.(*types.Tuple)
	return ok && tuple.Len() == 2 && types.Identical(tuple.At(1).Type(), types.Universe.Lookup("error").Type())
}

func (x explainer) multiple(m []string) string {
	if call := x.callAt(); call != nil && endsInError(x.info.TypeOf(call)) {
		return m[1] + " returns a value and an error, and one value is wanted here: write must(" + m[1] + ")"
	}
	return m[1] + " returns several values, and one is wanted here"
}

// arguments explains a call with too few or too many arguments, by the function's signature.
func (x explainer) arguments(m []string) string {
	var call *ast.CallExpr
	x.find(func(n ast.Node) ast.Expr {
		if c, ok := n.(*ast.CallExpr); ok && c.Pos() <= x.pos && x.pos <= c.End() && types.ExprString(c.Fun) == m[2] {
			call = c
		}
		return nil
	})
	if call == nil {
		return ""
	}
	sig, ok := x.info.TypeOf(call.Fun).Underlying().(*types.Signature)
	if !ok {
		return ""
	}
	text := m[2] + " takes " + countOf(sig.Params().Len(), "argument") + " and was given " + count(len(call.Args)) + ": " + m[2] +
		strings.TrimPrefix(x.front.typeString(sig), "func")
	if m[1] == "too many" && x.decimalComma() {
		text += "; " + decimalCommaText
	}
	return text
}

// mixed explains an operator between values of different types.
func (x explainer) mixed(m []string) string {
	var e *ast.BinaryExpr
	x.find(func(n ast.Node) ast.Expr {
		if b, ok := n.(*ast.BinaryExpr); ok && e == nil && types.ExprString(b) == m[1] && b.Pos() == x.pos {
			e = b
		}
		return nil
	})
	if e == nil {
		return ""
	}
	a, b := types.ExprString(e.X), types.ExprString(e.Y)
	what := a + " is " + article(plainType(m[2])) + " and " + b + " is " + article(plainType(m[3]))
	switch {
	case isText(m[2]) != isText(m[3]) && e.Op == token.ADD:
		return what + ": a text is made of both by fmt.Sprint(" + a + ", " + b + ")"
	case isInteger(m[2]) && isFloatName(m[3]):
		return what + ", which Go does not mix: write float64(" + a + ")"
	case isFloatName(m[2]) && isInteger(m[3]):
		return what + ", which Go does not mix: write float64(" + b + ")"
	}
	return what + ": " + e.Op.String() + " wants two of the same type"
}

// unfit explains a value of another type than the one that is wanted.
func (x explainer) unfit(m []string) string {
	value, is, wanted, place := m[1], plainType(m[2]), m[3], m[4]
	switch {
	case m[6] == "truncated":
		return value + " is not a whole number, and " + article(wanted) + " is wanted here"
	case m[6] == "overflows":
		return value + " is too large for " + article(wanted)
	}
	text := value + " is " + article(is) + ", and " + article(shortType(wanted)) + " is wanted " + whereIs(place)
	switch {
	case m[5] != "":
		text += ": " + m[5]
	case isInteger(is) && isFloatName(shortType(wanted)) && !strings.HasPrefix(m[2], "untyped"):
		text += ": write float64(" + value + ")"
	case isFloatName(shortType(is)) && wanted == "int":
		text += ": write int(" + value + "), which drops what stands behind the point"
	}
	return text
}

// whereIs words the places that go/types knows.
func whereIs(place string) string {
	if f, ok := strings.CutPrefix(place, "argument to "); ok {
		return "as argument of " + f
	}
	return map[string]string{"assignment": "here", "variable declaration": "here", "return statement": "as result of the function", "struct literal": "in this field",
		"array or slice literal": "in this list", "map literal": "in this map", "map index": "as key of the map"}[place]
}

// notFunction explains brackets behind what is no function: often a multiplication is meant.
func (x explainer) notFunction(m []string) string {
	return m[1] + " is no function: if a product is meant, write " + m[1] + "*(…)"
}

// stars explains x ** 2, which Go reads as x * (*2).
func (x explainer) stars(m []string) string {
	var base ast.Expr
	x.find(func(n ast.Node) ast.Expr {
		if b, ok := n.(*ast.BinaryExpr); ok && b.Op == token.MUL {
			if s, ok := b.Y.(*ast.StarExpr); ok && s.X.Pos() == x.pos {
				base = b.X
			}
		}
		return nil
	})
	if base == nil {
		return m[1] + " is no pointer: * in front of a name means what the pointer points to"
	}
	b := types.ExprString(base)
	if m[1] == "2" {
		return "** is no power in Go: write " + b + "*" + b
	}
	return "** is no power in Go: write math.Pow(" + b + ", " + m[1] + ")"
}

const decimalCommaText = "if a decimal comma is meant, Go writes a point: 3.5, not 3,5"

var commaNumber = regexp.MustCompile(`\d,\d`)

// decimalComma reports whether the line of the place has a comma between digits.
func (x explainer) decimalComma() bool {
	return commaNumber.MatchString(lineOf(x.source.text, x.front.files.place(x.pos).Line))
}

// article puts the article in front of a type.
func article(t string) string {
	if t != "" && strings.ContainsRune("aeioAEIO", rune(t[0])) {
		return "an " + t
	}
	return "a " + t
}

// ofType finds the type in the description of an operand: "variable of type T", "value of float64 type T".
var ofType = regexp.MustCompile(` of (?:\w+ )?type (.+)$`)

// plainType makes the type of an operand as go/types describes it readable.
func plainType(described string) string {
	if m := ofType.FindStringSubmatch(described); m != nil {
		return computed(m[1])
	}
	untyped := map[string]string{"string": "text", "int": "whole number", "float": "number", "rune": "character", "bool": "truth value", "nil": "nil"}
	if kind, ok := strings.CutPrefix(described, "untyped "); ok {
		return untyped[strings.Fields(kind + " ")[0]]
	}
	return computed(described)
}

// computed returns the type of an operand. If go/types calls it a quantity, that may be the alias of another operand that it was computed from.
func computed(t string) string {
	if strings.HasPrefix(t, "unit.") {
		return "float64"
	}
	return t
}

// shortType writes a quantity without the name of the package that declares it, as cells do.
func shortType(t string) string { return strings.TrimPrefix(t, "unit.") }

func isText(t string) bool { return t == "string" || t == "untyped string" }

func isInteger(t string) bool {
	return slices.Contains([]string{"int", "int8", "int16", "int32", "int64", "uint", "uint8", "uint16", "uint32", "uint64", "time.Duration"}, t)
}

// isFloatName reports whether a type is float64 or a quantity, which is another name of it.
func isFloatName(t string) bool {
	return t == "float64" || token.IsExported(shortType(t)) && !strings.Contains(shortType(t), ".")
}
