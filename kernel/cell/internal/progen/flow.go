package progen

import "strings"

// alone writes something with no variables in reach but those given, and no calls of functions that count: for goroutines, which run beside the rest.
func (g *generator) alone(write func() string, in ...variable) string {
	scopes, calls := g.scopes, g.calls
	g.scopes, g.calls = [][]variable{in}, nil
	defer func() { g.scopes, g.calls = scopes, calls }()
	return write()
}

// fill puts texts in the places of their names, and new names of variables in those of $n1 to $n5.
func (g *generator) fill(text string, replace ...string) string {
	text = strings.NewReplacer(replace...).Replace(text)
	var names []string
	for _, stem := range []string{"$n1", "$n2", "$n3", "$n4", "$n5"} {
		names = append(names, stem, g.name("n"))
	}
	return g.tagged(text, names...)
}

// jumps writes a loop made of goto.
func (g *generator) jumps() string {
	return g.fill("$n1 := 0\nAgain$n2:\n$n1++\nif $n1 < N {\nBODY\tgoto Again$n2\n}\nfmt.Println(\"jumped\", $n1)", "N", g.pick("2", "3", "4"), "BODY", g.nested())
}

// state writes a loop over states with jumps forward and backward out of nested blocks.
func (g *generator) state() string {
	return g.fill(`func() {
	$n1, $n2 := EXPR, 0
Start$n3:
	$n4 := $n2 * 2
	defer func() { fmt.Println("left", $n4) }()
	if $n2++; $n2 > 3 {
		goto End$n3
	}
	switch $n1 & 3 {
	case 0:
		$n1++
		goto Start$n3
	case 1:
		for $n5 := range 3 {
			if $n5 == $n2 {
				$n1 >>= 1
				goto Start$n3
			}
		}
	default:
		$n1 += $n4
	}
	goto Start$n3
End$n3:
	fmt.Println("state", $n1, $n2)
}()`, "EXPR", g.expr("int", 2))
}

// goroutines writes a pattern of goroutines whose outcome does not depend on their order.
func (g *generator) goroutines() string {
	i := g.name("i")
	e := g.alone(func() string { return g.expr("int", 2) }, variable{i, "int"})
	switch g.IntN(4) {
	case 0:
		return g.fill(`$n1, $n2 := make(chan int, SIZE), 0
go func() {
	defer close($n1)
	for I := range 4 {
		$n1 <- E + I
	}
}()
for $n3 := range $n1 {
	$n2 ^= $n3
}
$n4, $n5 := <-$n1
fmt.Println("received", $n2, $n4, $n5)`, "SIZE", g.pick("0", "1", "4"), "I", i, "E", e)
	case 1:
		return g.fill(`var $n1 sync.WaitGroup
$n2 := make([]int, 3)
for I := range $n2 {
	$n1.Add(1)
	go func() {
		defer $n1.Done()
		$n2[I] = E - I
	}()
}
$n1.Wait()
fmt.Println("done", $n2)`, "I", i, "E", e)
	case 2:
		return g.fill(`func() {
	var $n1 sync.Mutex
	$n2, $n3 := 0, make(chan bool)
	for I := 0; I < 3; I++ {
		go func(k int) {
			$n1.Lock()
			defer $n1.Unlock()
			$n2 += k + E
			$n3 <- true
		}(I)
	}
	for range 3 {
		$n1.Lock()
		$n1.Unlock()
		<-$n3
	}
	fmt.Println("sum", $n2)
}()`, "$n1.Lock()\n\t\t$n1.Unlock()\n", "", "I", i, "E", e)
	}
	return g.fill(`$n1, $n2 := make(chan int, 1), make(chan string, 2)
$n2 <- TEXT
for $n3 := range 4 {
	select {
	case $n1 <- $n3:
	case $n4, ok := <-$n1:
		fmt.Println("number", $n4, ok)
	}
	select {
	case $n5 := <-$n2:
		fmt.Println("text", $n5)
	default:
		fmt.Println("nothing", $n3)
	}
}`, "TEXT", g.expr("string", 1))
}

// panics writes a function that fails at run time and tells how.
func (g *generator) panics() string {
	bad := g.pick(
		"_ = []int{1, 2}[EXPR&7+2]", "$n1[EXPR&7+3] = 1", "_ = $n1[2-EXPR&1 : 1-EXPR&1]", "_ = $n1[:EXPR&3+4]", "_ = \"abc\"[EXPR&7+3]", "_ = $n1[1:2:EXPR&1+9]",
		"fmt.Println(EXPR / ($n2 - $n2))", "fmt.Println(EXPR % ($n2 - $n2))", "var m map[string]int\nm[\"a\"] = EXPR", "var p *RECORD\np.A++", "var p *RECORD\nfmt.Println(*p)",
		"var x any = EXPR\nfmt.Println(x.(string))", "var x any\nfmt.Println(x.(int))", "var x any = RECORD{}\nfmt.Println(x.(error))", "var f func()\nf()",
		"panic(&Fault{EXPR & 7})", "panic(RECORD{s: \"x\"}.s)", "c := make(chan int)\nclose(c)\nclose(c)", "_ = make([]int, $n2-$n2-1)", "var e error\n_ = e.Error()",
		"var a [3]int\na[EXPR&3+$n2&0+3] = 2", "_ = [2]int($n1[:1])", "fmt.Println(1 << ($n2 - $n2 - 1))", "func() {\ndefer panic(\"second\")\npanic(\"first\")\n}()",
		"defer func() { panic(fmt.Sprint(recover(), \" again\")) }()\npanic(EXPR)")
	return g.fill(`func() {
	defer func() {
		switch $n3 := recover().(type) {
		case *Fault:
			fmt.Println("fault", $n3.Code)
		case error:
			fmt.Println("error", $n3)
		default:
			fmt.Println("value", $n3)
		}
	}()
	$n1, $n2 := []int{1, 2, 3}, EXPR
	_, _ = $n1, $n2
	`+bad+`
	fmt.Println("not reached?", $n2)
}()`, "EXPR", g.leaf("int"), "RECORD", g.record.name)
}

// iterators writes a loop over a function, with ways out of it.
func (g *generator) iterators() string {
	return g.fill(`func() (result int) {
	defer func() { fmt.Println("iterated", result) }()
Outer$n1:
	for $n2 := range 3 {
		for $n3, $n4 := range count(N) {
			_, _ = $n3, $n4
			if COND {
				WAY
			}
			if result += $n3 + $n2; result > 1000 {
				break Outer$n1
			}
			defer fmt.Print($n4, " ")
		}
	}
	return result + 1
}()`, "N", g.pick("2", "4"), "COND", g.condition0(1), "WAY", g.pick("break", "continue", "break Outer$n1", "continue Outer$n1", "return 100"))
}

// lateDefault writes switches whose default is not the last clause, with fallthrough.
func (g *generator) lateDefault() string {
	return g.fill(`switch $n1 := EXPR; {
case $n1&1 == 0:
BODY1	FALL
default:
BODY2	FALL
case $n1&3 == 1, $n1 > 100:
BODY3}`, "EXPR", g.expr("int", 2), "FALL", g.pick("fallthrough", ""), "BODY1", g.nested(), "BODY2", g.nested(), "BODY3", g.nested())
}
