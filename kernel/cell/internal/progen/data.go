package progen

import "fmt"

// slicing writes statements on slices that share an array.
func (g *generator) slicing() string {
	return g.fill(`$n1 := append([]int(nil), EXPR, 2, 3, 4)
$n2 := $n1[1:CAP]
$n2 = append($n2, EXPR2)
$n2[0], $n1[3] = $n1[3], $n2[0]
$n3 := copy($n1, $n1[2:])
OP
fmt.Println($n1, $n2, len($n2), $n3, $n1[len($n1)-1])`, "CAP", g.pick("2", "3", "2:2", "3:4"), "EXPR2", g.expr("int", 1), "EXPR", g.expr("int", 1),
		"OP", g.pick("clear($n2)", "$n2[0]++", "$n1 = $n1[:2]", "for i := range $n1 { $n1[i] <<= 1 }", "$n1 = append($n1[:1], $n1[2:]...)", "$n2 = nil"))
}

// records writes statements on structs: fields that are promoted, copies, pointers to elements and chains.
func (g *generator) records() string {
	field := g.pick("id", "A", "b", "s", "note")
	return g.fill(g.pick(
		`$n1 := []RECORD{LITERAL, {}}
$n2, $n3 := &$n1[1], $n1[0]
$n2.Tick(EXPR).Tick(2)
$n2.A++
$n3.xs[EXPR&1] += 5
$n1[0].Grow(3)
for _, r := range $n1 {
	r.A = 9
	r.Tick(1)
}
fmt.Println($n1, *$n2, $n3 == $n1[0], $n2.FIELD)`,
		`$n1 := map[string]RECORD{"a": LITERAL}
$n2 := $n1["a"]
$n2.id += EXPR
$n1["b"] = $n2
fmt.Println($n1, len($n1), $n1["a"] == $n1["b"], $n1["none"].FIELD)`,
		`type $n3 struct {
	next  *$n3
	value int
	in    RECORD
}
var $n1 *$n3
for i := range 3 {
	$n1 = &$n3{$n1, i * EXPR, LITERAL}
}
$n2 := 0
for p := $n1; p != nil; p = p.next {
	$n2 += p.value
	p.in.Tick(p.value)
}
fmt.Println($n2, $n1.next.next.next == nil, $n1.next.in.FIELD, $n1.in)`,
		`$n1 := LITERAL
$n2 := &$n1
$n3 := *$n2
$n2.Base = Base{id: EXPR}
$n4 := $n2.Grow
fmt.Println($n4(1), (*RECORD).Grow($n2, 2))
fmt.Println($n1, $n3.FIELD, *$n2)`,
		`$n1 := struct {
	RECORD
	more []any
}{LITERAL, []any{EXPR, "x", nil}}
$n1.Tick(3)
fmt.Printf("%v %+v\n", $n1, $n1.FIELD)`),
		"RECORD", g.record.name, "LITERAL", g.recordLiteral(1), "EXPR", g.leaf("int"), "FIELD", field)
}

// methods writes values of methods and functions of all kinds.
func (g *generator) functions() string {
	return g.fill(g.pick(
		`$n1 := func(first int, rest ...int) int { return first*10 + len(rest) }
$n2 := []int{EXPR, 2}
fmt.Println($n1(EXPR), $n1(1, $n2...), $n1(1, 2, 3), $n1(4, nil...))`,
		`$n1 := func(xs ...any) string { return fmt.Sprint(len(xs), xs) }
var $n2 any = []any{1, EXPR}
fmt.Println($n1(), $n1(nil), $n1($n2), $n1([]any{EXPR, "a"}...), $n1([]int{1}, 'x'))`,
		`$n1 := map[string]func(int) int{"double": func(x int) int { return x * 2 }, "add": func(x int) int { return x + EXPR }}
for _, k := range []string{"add", "double", "none"} {
	if f, ok := $n1[k]; ok {
		fmt.Println(k, f(EXPR))
	}
}`,
		`$n1 := func() func() int {
	n := EXPR
	return func() int { n++; return n }
}
$n2, $n3 := $n1(), $n1()
fmt.Println($n2(), $n2(), $n3())`,
		`var $n1 func(int) int
$n1 = func(n int) int {
	if n < 2 {
		return n
	}
	return $n1(n-1) + $n1(n-2)
}
fmt.Println($n1(EXPR & 7))`,
		`$n1 := func(a, b int) (sum, product int) {
	defer func() { sum *= 2 }()
	sum, product = a+b, a*b
	if a > b {
		return product, sum
	}
	return
}
$n2, $n3 := $n1(EXPR, 3)
fmt.Println($n2, $n3, fmt.Sprint($n1(9, EXPR)))`,
		`$n1 := Stack[TYPE]{}
$n1.Push(E1, E2)
$n2, $n3 := $n1.Pop()
$n4 := $n1.Pop
$n4()
_, $n5 := $n4()
fmt.Printf("%v %v %v %T\n", $n2, $n3, $n5, $n1)`), g.typed("TYPE", "E1", "E2", "EXPR", g.leaf("int"))...)
}

// typed returns replacements: a type and two expressions of it, after those given.
func (g *generator) typed(typ, first, second string, more ...string) []string {
	t := g.comparableType()
	return append(more, typ, t, first, g.expr(t, 2), second, g.expr(t, 1))
}

// failures writes errors that wrap others.
func (g *generator) failures() string {
	return g.fill(`$n1, $n2 := check(EXPR)
var $n3 *Fault
switch {
case errors.As($n2, &$n3):
	fmt.Println("fault", $n3.Code, $n2, errors.Unwrap($n2) == error($n3))
case $n2 != nil:
	fmt.Println($n2)
default:
	fmt.Println("fine", $n1)
}
fmt.Println(errors.Is($n2, $n3), fmt.Sprintf("%v %T", $n2, $n2))`, "EXPR", g.expr("int", 2))
}

// converted writes operations on texts as bytes and characters.
func (g *generator) texts() string {
	return g.fill(g.pick(
		`for $n1, $n2 := range TEXT + "a\xffé" {
	fmt.Print($n1, $n2, string($n2), " ")
}
fmt.Println()`,
		`$n1 := []byte(TEXT)
for $n2 := range $n1 {
	$n1[$n2] ^= 1
}
fmt.Printf("%q %x %v\n", $n1, $n1, $n1)`,
		`$n1 := []rune(TEXT)
for $n2, $n3 := 0, len($n1)-1; $n2 < $n3; $n2, $n3 = $n2+1, $n3-1 {
	$n1[$n2], $n1[$n3] = $n1[$n3], $n1[$n2]
}
fmt.Println(string($n1), len($n1))`,
		`$n1 := map[rune]int{}
for _, $n2 := range TEXT {
	$n1[$n2]++
}
fmt.Println($n1, len(TEXT))`,
		`var $n1 strings.Builder
for $n2 := range 3 {
	fmt.Fprintf(&$n1, "%d:%s;", $n2, TEXT)
}
fmt.Println($n1.Len(), $n1.String())`), "TEXT", g.expr("string", 1))
}

// pointers writes changes through pointers, and to elements that are found by calls.
func (g *generator) pointers() string {
	typ := g.pick(numeric...)
	return g.fill(`$n1 := EXPR
$n2, $n3 := &$n1, map[int][]TYPE{}
*$n2 OP EXPR1
*$n2++
$n4 := func(k int) int { fmt.Print("at ", k, " "); return k }
$n3[$n4(1)] = append($n3[$n4(2)], *$n2, $n1)
$n3[$n4(1)][$n4(0)]--
$n5 := [2]*TYPE{$n2, new(TYPE)}
*$n5[$n4(1)], *$n5[0] = *$n5[0], *$n5[1]
fmt.Println($n1, $n3, *$n5[1], *$n2**$n2, -*$n5[0])`, "TYPE", typ, "EXPR1", g.expr(typ, 2), "EXPR", g.expr(typ, 2), "OP", g.pick("+=", "-=", "*="))
}

// shadowing gives predeclared names another meaning for a while.
func (g *generator) shadowing() string {
	name := g.pick("len", "string", "true", "nil", "int", "append", "any", "float64", "iota", "copy")
	return fmt.Sprintf("{\n\t%s := %s\n\tfmt.Println(%q, %s)\n}", name, g.leaf("uint8"), name, name)
}

// constants writes constant arithmetic, which is exact until it is stored.
func (g *generator) constants() string {
	return g.fill(`const (
	$n1 = A / B
	$n2 = A / B.0 * $n1
	$n3 float32 = 1 / B.0
	$n4 = iota + 'a'
	$n5 = 1 << (40 + iota) >> 38
)
fmt.Println($n1, $n2, $n3, $n4, $n5, float64($n1)/2, uint8($n5), $n2*EXPR)`, "A", g.pick("7", "100", "-9", "1e3"), "B", g.pick("2", "3", "7"), "EXPR", g.expr("float64", 1))
}
