// Package prose reads the live values of a text: actions in the syntax of Go templates, whose values are those of the notebook.
//
//	The speed is {{.V}}, or {{.V | in "kt" | digits 4}}; trimmed at {{.r.Alpha | in "°"}}.
//
// An action names a variable, or a field of one, behind a dot. Behind bars may stand: in, with the unit to show it in; digits, with the number of significant
// figures; bare, to leave out the unit. Between dollar signs it is written as LaTeX. In code nothing is an action.
package prose

import (
	"fmt"
	"regexp"
	"strings"
	"text/template/parse"
)

// Part is a piece of a text: as it stands, or an action.
type Part struct {
	Text   string   `json:"text,omitempty"` // as it stands; of an action its source
	Path   []string `json:"path,omitempty"` // the names that lead to the value; empty for text
	Unit   string   `json:"unit,omitempty"`
	Digits int      `json:"digits,omitempty"`
	Bare   bool     `json:"bare,omitempty"`
	Math   bool     `json:"math,omitempty"`   // it stands in a formula
	Offset int      `json:"offset,omitempty"` // in the text, in bytes
}

// Error is an action that cannot be read.
type Error struct {
	Offset int
	Action string
	Reason string
}

func (e *Error) Error() string { return e.Action + ": " + e.Reason }

var (
	action    = regexp.MustCompile(`(?s)\{\{(.*?)\}\}`)
	wanted    = regexp.MustCompile(`^-?\s*(?:\.[\pL_]|(?:in|digits|bare|if|range|with|template|define|block|end)\b)`)
	forgotten = regexp.MustCompile(`^\s*[\pL_][\pL\d_.]*\s*(?:\|.*)?$`)
	code      = regexp.MustCompile("(?s)(?:^|\n)(?:```.*?\n```|~~~.*?\n~~~)|``.*?``|`[^`]*`")
)

// Parse splits a text into its parts.
func Parse(text string) ([]Part, error) {
	var out []Part
	end := 0
	hidden := code.FindAllStringIndex(text, -1)
	for _, m := range action.FindAllStringSubmatchIndex(text, -1) {
		source, inner := text[m[0]:m[1]], text[m[2]:m[3]]
		if inside(hidden, m[0]) || m[0] < end {
			continue
		}
		math := inFormula(text[:m[0]])
		if !wanted.MatchString(inner) {
			if !math && forgotten.MatchString(inner) {
				return nil, &Error{m[0], source, "the name of a value stands behind a dot: {{." + strings.TrimSpace(inner) + "}}"}
			}
			continue
		}
		p, err := parseAction(source)
		if err != nil {
			return nil, &Error{m[0], source, err.Error()}
		}
		p.Math, p.Offset, p.Text = math, m[0], source
		if end < m[0] {
			out = append(out, Part{Text: text[end:m[0]]})
		}
		out, end = append(out, p), m[1]
	}
	if end < len(text) {
		out = append(out, Part{Text: text[end:]})
	}
	return out, nil
}

func inside(spans [][]int, at int) bool {
	for _, s := range spans {
		if s[0] <= at && at < s[1] {
			return true
		}
	}
	return false
}

// inFormula reports whether a text ends inside of a formula: behind an odd number of dollar signs.
func inFormula(before string) bool {
	before = code.ReplaceAllString(strings.ReplaceAll(before, `\$`, ""), "")
	return strings.Count(strings.ReplaceAll(before, "$$", "$"), "$")%2 == 1
}

// functions are what may stand behind a bar. Only their names count.
var functions = map[string]any{"in": "", "digits": "", "bare": ""}

// parseAction reads one action.
func parseAction(source string) (Part, error) {
	trees, err := parse.Parse("text", source, "{{", "}}", functions)
	if err != nil {
		return Part{}, fmt.Errorf("%s", strings.TrimPrefix(err.Error(), "template: text:1: "))
	}
	node, ok := trees["text"].Root.Nodes[0].(*parse.ActionNode)
	if !ok || len(node.Pipe.Decl) > 0 {
		return Part{}, fmt.Errorf("a text shows values; it does not choose, repeat or set")
	}
	var p Part
	for i, c := range node.Pipe.Cmds {
		args := c.Args
		if field, ok := args[len(args)-1].(*parse.FieldNode); ok && i == 0 {
			if p.Path = field.Ident; len(args) == 1 {
				continue
			}
			args = args[:len(args)-1]
		}
		if err := p.option(args); err != nil {
			return p, err
		}
	}
	if len(p.Path) == 0 {
		return p, fmt.Errorf("it names no value: the first is a name behind a dot, such as .V")
	}
	return p, nil
}

// option takes one of the functions with its argument.
func (p *Part) option(args []parse.Node) error {
	name, ok := args[0].(*parse.IdentifierNode)
	if !ok {
		return fmt.Errorf("%s is none of in, digits and bare", args[0])
	}
	switch name.Ident {
	case "bare":
		p.Bare = true
		return nil
	case "in":
		if s, ok := argument[*parse.StringNode](args); ok {
			p.Unit = s.Text
			return nil
		}
		return fmt.Errorf("in is followed by a unit in quotes, such as in \"kt\"")
	}
	n, ok := argument[*parse.NumberNode](args)
	if !ok || !n.IsInt || n.Int64 < 1 || n.Int64 > 15 {
		return fmt.Errorf("digits is followed by a whole number from 1 to 15")
	}
	p.Digits = int(n.Int64)
	return nil
}

// argument returns the only argument of a function, if it is of a type.
func argument[T parse.Node](args []parse.Node) (T, bool) {
	var zero T
	if len(args) != 2 {
		return zero, false
	}
	n, ok := args[1].(T)
	return n, ok
}
