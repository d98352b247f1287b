package main

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"foreplane/kernel/worker"
)

// settings are what users can set of a kernel, by the same flags of install and kernel: what install is given it writes into the command line of the
// kernelspec.
type settings struct {
	rebuild bool
	memory  byteSize
	stack   byteSize
	output  byteSize
	files   int
	time    time.Duration
}

// bind offers the settings as flags.
func (s *settings) bind(f *pflag.FlagSet) {
	f.BoolVar(&s.rebuild, "rebuild", false, "run the cells again that had succeeded when the process that holds their values is lost")
	f.Var(&s.memory, "memory", "memory of the process that runs the cells, such as 4GiB, the default (but no more than three quarters of the machine's); it warns from three quarters of that on")
	f.Var(&s.stack, "stack", "stack of one goroutine, which bounds how deep calls nest, such as 512MiB, the default (but no more than an eighth of the memory)")
	f.Var(&s.output, "output", "text of one cell beyond which it is folded and put into a file, such as 16MiB, the default")
	f.IntVar(&s.files, "files", 0, "how many files the process that runs the cells may have open; 0 for 4096, the default (but no more than the system allows)")
	f.DurationVar(&s.time, "time", 0, "interrupt a cell that takes longer than `TIME`, such as 10m; 0 for no limit, the default")
}

// Bounds of settings. Below them a worker cannot even start, beyond them a unit was mistaken.
const (
	leastMemory, mostMemory = 256 << 20, 1 << 40
	leastStack              = 1 << 20
	leastOutput, mostOutput = 64 << 10, 4 << 30
	leastFiles, mostFiles   = 64, 1 << 20
)

// check finds settings with which a kernel cannot work; those that were not made are 0.
func (s *settings) check() error {
	mostStack := byteSize(cmp.Or(uint64(s.memory)/8, math.MaxInt64))
	switch {
	case s.memory != 0 && (s.memory < leastMemory || s.memory > mostMemory):
		return fmt.Errorf("--memory %v: want %v to %v", s.memory, byteSize(leastMemory), byteSize(mostMemory))
	case s.stack != 0 && (s.stack < leastStack || s.stack > mostStack):
		return fmt.Errorf("--stack %v: want at least %v and at most an eighth of --memory, since a stack that grows is copied", s.stack, byteSize(leastStack))
	case s.output != 0 && (s.output < leastOutput || s.output > mostOutput):
		return fmt.Errorf("--output %v: want %v to %v", s.output, byteSize(leastOutput), byteSize(mostOutput))
	case s.files != 0 && (s.files < leastFiles || s.files > mostFiles):
		return fmt.Errorf("--files %d: want %d to %d", s.files, leastFiles, mostFiles)
	case s.time != 0 && s.time < time.Second:
		return fmt.Errorf("--time %v: want 1s or more, or 0 for no limit", s.time)
	}
	return nil
}

// arguments returns the flags among f that were given, as a command line.
func (*settings) arguments(f *pflag.FlagSet) []string {
	var mine pflag.FlagSet
	new(settings).bind(&mine)
	var list []string
	f.Visit(func(given *pflag.Flag) {
		if mine.Lookup(given.Name) != nil {
			list = append(list, "--"+given.Name+"="+given.Value.String())
		}
	})
	return list
}

// limits are the settings of the worker.
func (s *settings) limits() worker.Options {
	return worker.Options{Memory: uint64(s.memory), Stack: int(s.stack), Files: s.files}
}

// byteSize is a number of bytes that flags take with a unit.
type byteSize uint64

var byteUnits = []struct {
	name string
	size byteSize
}{{"TiB", 1 << 40}, {"GiB", 1 << 30}, {"MiB", 1 << 20}, {"KiB", 1 << 10}}

func (b byteSize) String() string {
	for _, u := range byteUnits {
		if b >= u.size && b%u.size == 0 {
			return fmt.Sprintf("%d%s", b/u.size, u.name)
		}
	}
	return fmt.Sprintf("%dB", uint64(b))
}

// Set implements pflag.Value. Numbers without a unit are refused: a limit of 4 bytes is never meant.
func (b *byteSize) Set(text string) error {
	for _, u := range byteUnits {
		number, found := strings.CutSuffix(text, u.name)
		n, err := strconv.ParseFloat(number, 64)
		if found && err == nil && n > 0 && n*float64(u.size) < math.MaxInt64 {
			*b = byteSize(n * float64(u.size))
			return nil
		}
	}
	return fmt.Errorf("want a size such as 512MiB or 4GiB")
}

// Type implements pflag.Value.
func (*byteSize) Type() string { return "SIZE" }
