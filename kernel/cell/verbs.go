package cell

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
)

// spaced stands in for what fmt.Print and its like know of operands: they put a space between two of which neither is a string, and a box of a string is one.
func spaced(args []any) []any {
	boxes := false
	for _, a := range args {
		b, ok := unbox(a)
		boxes = boxes || ok && b.t.Kind == "string"
	}
	if !boxes {
		return args
	}
	var out strings.Builder
	for i, a := range args {
		if i > 0 && !isStringOperand(args[i-1]) && !isStringOperand(a) {
			out.WriteByte(' ')
		}
		fmt.Fprint(&out, a)
	}
	return []any{out.String()}
}

func isStringOperand(a any) bool {
	if b, ok := unbox(a); ok {
		return b.t.Kind == "string"
	}
	return a != nil && reflect.TypeOf(a).Kind() == reflect.String
}

// boxVerbs puts the names of types in the place of %T of boxes, and addresses in that of %p: fmt does not ask a value about these. Every operand is named by
// its number then.
func boxVerbs(format string, args []any) (string, []any) {
	if !strings.ContainsAny(format, "Tp") || !hasBox(args) {
		return format, args
	}
	s := verbScanner{format: format, args: args, extra: args[:len(args):len(args)]}
	for s.at < len(format) {
		s.step()
	}
	return s.out.String(), s.extra
}

func hasBox(args []any) bool {
	for _, a := range args {
		if _, ok := unbox(a); ok {
			return true
		}
	}
	return false
}

// verbScanner rewrites a format.
type verbScanner struct {
	format string
	args   []any
	extra  []any // with the stand-ins
	at     int
	arg    int // the operand that the next verb takes
	out    strings.Builder
}

// step copies text up to a verb, and the verb.
func (s *verbScanner) step() {
	i := strings.IndexByte(s.format[s.at:], '%')
	if i < 0 {
		s.out.WriteString(s.format[s.at:])
		s.at = len(s.format)
		return
	}
	s.out.WriteString(s.format[s.at : s.at+i+1])
	s.at += i + 1
	s.copyWhile("+-# 0")
	s.number()
	if s.at < len(s.format) && s.format[s.at] == '.' {
		s.out.WriteByte('.')
		s.at++
		s.number()
	}
	s.index()
	s.verb()
}

func (s *verbScanner) copyWhile(set string) {
	for s.at < len(s.format) && strings.IndexByte(set, s.format[s.at]) >= 0 {
		s.out.WriteByte(s.format[s.at])
		s.at++
	}
}

// number copies a width or precision, which may be an operand.
func (s *verbScanner) number() {
	s.index()
	if s.at < len(s.format) && s.format[s.at] == '*' {
		fmt.Fprintf(&s.out, "[%d]*", s.arg+1)
		s.at++
		s.arg++
		return
	}
	s.copyWhile("0123456789")
}

// index reads an explicit number of an operand.
func (s *verbScanner) index() {
	if s.at >= len(s.format) || s.format[s.at] != '[' {
		return
	}
	end := strings.IndexByte(s.format[s.at:], ']')
	if end < 0 {
		return
	}
	if n, err := strconv.Atoi(s.format[s.at+1 : s.at+end]); err == nil {
		s.arg = n - 1
		s.at += end + 1
	}
}

// verb writes the verb with its operand.
func (s *verbScanner) verb() {
	if s.at >= len(s.format) {
		return
	}
	verb := s.format[s.at]
	s.at++
	if verb == '%' {
		s.out.WriteByte('%')
		return
	}
	operand := s.arg + 1
	if s.arg >= 0 && s.arg < len(s.args) {
		if b, ok := unbox(s.args[s.arg]); ok && (verb == 'T' || verb == 'p') {
			verb, operand = s.standIn(b, verb), len(s.extra)
		}
	}
	fmt.Fprintf(&s.out, "[%d]%c", operand, verb)
	s.arg++
}

// standIn adds an operand that prints in place of a box, and returns the verb for it.
func (s *verbScanner) standIn(b Box, verb byte) byte {
	if verb == 'T' {
		s.extra = append(s.extra, b.t.Name)
		return 's'
	}
	s.extra = append(s.extra, b.V)
	return 'p'
}
