package worker_test

import (
	"context"
	"fmt"
	"log"
	"os"
	"runtime"
	"strconv"
	"strings"

	"foreplane/kernel"
	"foreplane/kernel/cell"
	"foreplane/kernel/display"
)

// script is a machine whose programs are the names of steps, compiled into the test: it can do what no cell is allowed to.
type script struct{ memory string }

// step is one program. An error counts as an interrupt that was obeyed.
type step func(ctx context.Context, s *script, argument string, out kernel.Output) (string, error)

var steps = map[string]step{
	"remember": stepRemember,
	"recall":   func(_ context.Context, s *script, _ string, _ kernel.Output) (string, error) { return s.memory, nil },
	"pid": func(context.Context, *script, string, kernel.Output) (string, error) {
		return strconv.Itoa(os.Getpid()), nil
	},
	"wait":      stepWait,
	"ask":       stepAsk,
	"late":      stepLate,
	"order":     plain(stepOrder),
	"direct":    plain(stepDirect),
	"big":       plain(stepBig),
	"close":     plain(stepClose),
	"odd":       plain(stepOdd),
	"unfit":     plain(stepUnfit),
	"alternate": plain(stepAlternate),
	"stuck":     plain(stepStuck),
	"exit":      plain(func(code string, _ kernel.Output) { os.Exit(number(code)) }),
	"tell":      plain(stepTell),
	"panic":     plain(stepPanic),
	"maps":      plain(stepMaps),
	"stack":     plain(func(string, kernel.Output) { println(deep(0)) }),
	"hog":       plain(stepHog),
	"make":      plain(func(bytes string, _ kernel.Output) { fill(make([]byte, number(bytes))) }),
}

func (s *script) Close() error { return nil }

func (s *script) Run(ctx context.Context, p *cell.Program, out kernel.Output) (cell.Outcome, error) {
	name, argument, _ := strings.Cut(p.Binds[0].Name, " ")
	step, ok := steps[name]
	if !ok {
		return cell.Outcome{}, fmt.Errorf("unknown step %q", name)
	}
	text, err := step(ctx, s, argument, out)
	if err != nil {
		return cell.Outcome{Err: &kernel.CellError{Name: "Interrupted", Message: err.Error()}}, nil
	}
	return cell.Outcome{Value: bundle(text), Bound: 1}, nil
}

// plain makes a step of a function that cannot be stopped.
func plain(f func(argument string, out kernel.Output)) step {
	return func(_ context.Context, _ *script, argument string, out kernel.Output) (string, error) {
		f(argument, out)
		return "", nil
	}
}

func bundle(value any) *display.Bundle {
	return &display.Bundle{Data: map[string]any{"text/plain": value}}
}

func number(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil {
		panic(err)
	}
	return n
}

func stepRemember(_ context.Context, s *script, what string, _ kernel.Output) (string, error) {
	s.memory = what
	return "", nil
}

func stepWait(ctx context.Context, _ *script, _ string, out kernel.Output) (string, error) {
	out.Stream("stdout", "waiting")
	<-ctx.Done()
	return "", ctx.Err()
}

func stepAsk(ctx context.Context, _ *script, prompt string, out kernel.Output) (string, error) {
	return out.Input(ctx, prompt, true)
}

// stepLate leaves a goroutine behind that writes once another program asks a question.
func stepLate(ctx context.Context, s *script, text string, out kernel.Output) (string, error) {
	go func() {
		answer, _ := out.Input(context.Background(), "now?", false)
		out.Stream("stdout", text)
		out.Show(*bundle(text), "")
		if answer == "exit" {
			os.Exit(7)
		}
	}()
	return "", nil
}

// stepOrder writes to both streams and shows things in turn.
func stepOrder(_ string, out kernel.Output) {
	for i := range 3 {
		out.Stream("stdout", fmt.Sprintf("a%d", i))
		out.Stream("stderr", fmt.Sprintf("b%d", i))
		out.Show(*bundle(fmt.Sprintf("c%d", i)), "")
	}
	out.Stream("stderr", "d")
	out.Stream("stdout", "é")
	out.Update(*bundle("e"), "7")
	out.Clear(true)
}

// stepDirect writes past the Output, as compiled code does.
func stepDirect(_ string, out kernel.Output) {
	fmt.Print("1")
	out.Show(*bundle("2"), "")
	os.Stdout.WriteString("3")
	out.Show(*bundle("4"), "")
	log.New(os.Stderr, "", 0).Print("5")
	out.Show(*bundle("6"), "")
	println("7")
	out.Show(*bundle("8"), "")
	fmt.Print("9")
}

// stepBig writes lines of 100 bytes, directly.
func stepBig(bytes string, _ kernel.Output) {
	line := strings.Repeat("x", 99) + "\n"
	for range number(bytes) / len(line) {
		os.Stdout.WriteString(line)
	}
}

func stepClose(string, kernel.Output) {
	fmt.Print("before")
	os.Stdout.Close()
	os.Stderr.Close()
	fmt.Print("after")
}

// stepOdd writes what is not text, and a rune in pieces.
func stepOdd(_ string, out kernel.Output) {
	os.Stdout.Write([]byte{'<', 0xFF, 0xC3})
	os.Stdout.Write([]byte{0xA9, 0, '>', 0xE2, 0x82})
}

// stepUnfit shows what no message can hold.
func stepUnfit(_ string, out kernel.Output) {
	out.Show(display.Bundle{Data: map[string]any{"text/plain": "x", "application/json": func() {}}}, "")
	out.Stream("stdout", "go on")
}

// stepAlternate writes to the two streams in turn.
func stepAlternate(times string, out kernel.Output) {
	for range number(times) {
		out.Stream("stdout", "a")
		out.Stream("stderr", "b")
	}
}

// told is what stepTell writes to descriptor 2, more than is held back.
const told = "something that compiled code has to tell"

func stepTell(end string, _ kernel.Output) {
	for range 3000 {
		println(told)
	}
	switch end {
	case "exit":
		os.Exit(4)
	case "panic":
		stepPanic("enough", nil)
	}
}

func stepStuck(_ string, out kernel.Output) {
	out.Stream("stdout", "stuck")
	select {}
}

func stepPanic(what string, _ kernel.Output) {
	go func() { panic(what) }()
	select {}
}

func stepMaps(string, kernel.Output) {
	m := map[int]int{}
	for range 2 * runtime.GOMAXPROCS(0) {
		go func() {
			for i := 0; ; i++ {
				m[i%10] = i
			}
		}()
	}
	select {}
}

// deep calls itself without an end that it could come to.
func deep(n int) int {
	if n < 0 {
		return n
	}
	return deep(n+1) + deep(n+2)
}

func stepHog(string, kernel.Output) {
	type block struct {
		before *block
		bytes  []byte
	}
	for last := (*block)(nil); ; {
		last = &block{last, fill(make([]byte, 1<<20))}
	}
}

// fill touches every page of a block.
func fill(block []byte) []byte {
	for i := 0; i < len(block); i += os.Getpagesize() {
		block[i] = 1
	}
	return block
}
