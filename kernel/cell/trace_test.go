package cell_test

import (
	"strings"
	"testing"
)

// TestTraces holds that an error at run time names the places of all functions that it came through, and nothing of the interpreter. Each case runs in the
// session of the cells before it, as cell 3 and on.
func TestTraces(t *testing.T) {
	const earlier = `func fall(s []int) int {
	return s[5]
}
type T struct{ s []int }
func (t *T) Fall() int {
	return fall(t.s)
}
func Each[X any](xs []X, f func(X)) {
	for _, x := range xs {
		f(x)
	}
}`
	for name, c := range map[string]struct{ code, trace string }{
		"statement":           {"s := []int{1}\ns[3] = 1", "line 2, column 1"},
		"called function":     {"func g() int {\n\treturn fall(nil) + 1\n}\n\ng()", "cell 1, line 2, column 2, in fall|line 2, column 2, in g|line 5, column 1"},
		"method":              {"(&T{}).Fall()", "cell 1, line 2, column 2, in fall|cell 1, line 6, column 2, in T.Fall|line 1, column 1"},
		"method value":        {"f := (&T{}).Fall\nf()", "cell 1, line 2, column 2, in fall|cell 1, line 6, column 2, in T.Fall|line 2, column 1"},
		"nil method":          {"var t *T\nt.Fall()", "cell 1, line 6, column 2, in T.Fall|line 2, column 1"},
		"interface":           {"var i interface{ Fall() int } = &T{}\nx := i.Fall()", "cell 1, line 2, column 2, in fall|cell 1, line 6, column 2, in T.Fall|line 2, column 1"},
		"closure":             {"f := func() int {\n\treturn fall(nil)\n}\nfunc() { f() }()", "cell 1, line 2, column 2, in fall|line 2, column 2, in a function|line 4, column 10, in a function|line 4, column 1"},
		"generic":             {"Each([]string{\"\"}, func(string) {\n\tfall(nil)\n})", "cell 1, line 2, column 2, in fall|line 2, column 2, in a function|cell 1, line 10, column 3, in Each|line 1, column 1"},
		"deferred call":       {"func g() {\n\tdefer fall(nil)\n}\ng()", "cell 1, line 2, column 2, in fall|line 2, column 2, in g|line 4, column 1"},
		"deferred function":   {"func g() {\n\tdefer func() {\n\t\tfall(nil)\n\t}()\n}\ng()", "cell 1, line 2, column 2, in fall|line 3, column 3, in a function in g|line 2, column 2, in g|line 6, column 1"},
		"behind a defer":      {"func g() {\n\tdefer fmt.Print()\n\tfall(nil)\n}\ng()", "cell 1, line 2, column 2, in fall|line 3, column 2, in g|line 5, column 1"},
		"recovered and again": {"func g() {\n\tdefer func() { recover(); panic(\"index out of range [5] with length 0\") }()\n\tfall(nil)\n}\ng()", "line 2, column 28, in a function in g|line 3, column 2, in g|line 5, column 1"},
		"goroutine":           {"go func() {\n\tfall(nil)\n}()\nselect {}", "cell 1, line 2, column 2, in fall|line 2, column 2, in a function"},
		"go of a function":    {"\ngo fall(nil)\nselect {}", "cell 1, line 2, column 2, in fall|line 2, column 1"},
		"callback":            {"sort.Slice([]int{2, 1}, func(i, j int) bool {\n\treturn fall(nil) < 0\n})", "cell 1, line 2, column 2, in fall|line 2, column 2, in a function|line 1, column 1"},
		"integral":            {"quad.Fixed(func(x float64) float64 {\n\treturn float64(fall(nil))\n}, 0, 1, 2, nil, 0)", "cell 1, line 2, column 2, in fall|line 2, column 2, in a function|line 1, column 1"},
		"loop over function":  {"for x := range func(yield func(int) bool) { yield(1) } {\n\tfall([]int{x})\n}", "cell 1, line 2, column 2, in fall|line 2, column 2|line 1, column 45, in a function|line 1 or 2"},
		"recursion":           {"func r(n int) {\n\tif n == 0 {\n\t\tfall(nil)\n\t}\n\tr(n - 1)\n}\nr(2)", "cell 1, line 2, column 2, in fall|line 3, column 3, in r|line 3 or 5, in r|line 3 or 5, in r|line 7, column 1"},
	} {
		t.Run(name, func(t *testing.T) {
			s := newCells(t)
			s.wants(earlier, "")
			s.wants("before := 1", "")
			err := s.run(c.code).Err
			if err == nil {
				t.Fatal("no error")
			}
			var want []string
			for _, line := range strings.Split(c.trace, "|") {
				if !strings.HasPrefix(line, "cell ") {
					line = "cell 3, " + line
				}
				want = append(want, line)
			}
			if got := strings.Join(err.Traceback[1:], "\n"); got != strings.Join(want, "\n") {
				t.Errorf("%s\ngot\n%s\nwant\n%s", err.Message, got, strings.Join(want, "\n"))
			}
			place, _, _ := strings.Cut(want[0], ", in ")
			if !strings.HasPrefix(err.Message, place+": ") {
				t.Errorf("%q does not begin with %s", err.Message, place)
			}
			s.wants("before", "1")
		})
	}
}

// TestLongTraces holds that at most 20 functions are told, the first and the last, with the number of the others.
func TestLongTraces(t *testing.T) {
	c := newCells(t)
	c.wants("func r(n int) int {\n\tif n == 0 {\n\t\tpanic(\"down\")\n\t}\n\treturn r(n-1) + 1\n}", "")
	for n, fold := range map[string]string{"18": "", "19": "… and 1 more call", "100": "… and 82 more calls"} {
		err := c.run("r(" + n + ")").Err
		if err == nil {
			t.Fatal("no error")
		}
		lines := err.Traceback[1:]
		if lines[0] != "cell 1, line 3, column 3, in r" || !strings.HasSuffix(lines[len(lines)-1], ", line 1, column 1") {
			t.Errorf("%s: from %s to %s", n, lines[0], lines[len(lines)-1])
		}
		switch {
		case fold == "" && len(lines) != 20:
			t.Errorf("%s: %d lines", n, len(lines))
		case fold != "" && (len(lines) != 21 || lines[10] != fold):
			t.Errorf("%s: %q", n, lines)
		}
	}
}

// TestPanicTexts holds that a panic nobody recovers from is told in the words of compiled Go, and the same to who does.
func TestPanicTexts(t *testing.T) {
	const types = `type E struct{ code int }
func (e E) Error() string { return fmt.Sprint("code ", e.code) }
type S struct{ x int }
func (S) String() string { return "a string" }
type P struct{ A int }
type C float64
type N string
type I interface{ M() }
var m map[string]int
var p *P
var zero int
var x any = "text"
var s = []int{1, 2, 3}
var i = 5
var c chan int`
	for code, want := range map[string]string{
		"s[i]":                                 "index out of range [5] with length 3",
		"s[-zero-1]":                           "index out of range [-1]",
		"\"abc\"[i]":                           "index out of range [5] with length 3",
		"s[i:]":                                "slice bounds out of range [5:3]",
		"s[:i]":                                "slice bounds out of range [:5] with capacity 3",
		"s[2:zero+1]":                          "slice bounds out of range [2:1]",
		"1 / zero":                             "integer divide by zero",
		"m[\"a\"] = 1":                         "assignment to entry in nil map",
		"p.A":                                  "invalid memory address or nil pointer dereference",
		"x.(int)":                              "interface conversion: interface {} is string, not int",
		"x.(P)":                                "interface conversion: interface {} is string, not main.P",
		"x.(I)":                                "interface conversion: string is not main.I: missing method M",
		"x.(fmt.Stringer)":                     "interface conversion: string is not fmt.Stringer: missing method String",
		"x = nil\n_ = x.(int)":                 "interface conversion: interface {} is nil, not int",
		"x = E{1}\n_ = x.(S)":                  "interface conversion: interface {} is main.E, not main.S",
		"close(c)":                             "close of nil channel",
		"c = make(chan int)\nclose(c)\nc <- 1": "send on closed channel",
		"make([]int, -zero-1)":                 "makeslice: len out of range",
		"panic(E{3})":                          "code 3",
		"panic(&E{3})":                         "code 3",
		"panic(S{})":                           "a string",
		"panic(C(3))":                          "main.C(3)",
		"panic(N(\"hi\"))":                     `main.N("hi")`,
		"panic(P{4})":                          "(main.P) {A:4}",
		"panic(5)":                             "5",
		"panic(2.5)":                           "2.5",
		"panic(fmt.Sprintf(\"%d knots\", 95))": "95 knots",
		"panic(fmt.Errorf(\"w: %w\", E{2}))":   "w: code 2",
		"panic(nil)":                           "panic called with nil argument",
	} {
		c := newCells(t)
		c.wants(types, "")
		err := c.run(code).Err
		if err == nil || err.Name != "Panic" {
			t.Errorf("%s: %v", code, err)
			continue
		}
		if _, got, _ := strings.Cut(err.Message, ": "); got != want {
			t.Errorf("%s: %q, want %q", code, got, want)
		}
	}
	c := newCells(t)
	c.wants(types, "")
	if err := c.run("panic(&E{3})").Err; err.Traceback[0] != "Panic (*main.E): code 3" {
		t.Errorf("the type is not told: %q", err.Traceback)
	}
	c.wants("func() (text string, ok bool) {\n\tdefer func() {\n\t\terr, isError := recover().(runtime.Error)\n\t\ttext, ok = err.Error(), isError\n\t}()\n\t_ = s[i]\n\treturn\n}()\nimport \"runtime\"", "runtime error: index out of range [5] with length 3 true")
}
