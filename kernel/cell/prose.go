package cell

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/token"
	"strconv"
	"strings"

	"foreplane/kernel/cell/internal/derive"
	"foreplane/kernel/cell/internal/prose"
	"foreplane/kernel/display"
)

// addLiveValues gives each call of prose the values that its text names as further arguments, so that they are checked like all others.
func (c *check) addLiveValues() {
	if _, own := c.declared["prose"]; own || c.front.session.names["prose"] != nil {
		return
	}
	for _, n := range []ast.Node{c.source.decls, c.source.body} {
		ast.Inspect(n, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok {
				c.addLiveValuesTo(call)
			}
			return true
		})
	}
}

func (c *check) addLiveValuesTo(call *ast.CallExpr) {
	id, ok := call.Fun.(*ast.Ident)
	if !ok || id.Name != "prose" || len(call.Args) != 1 {
		return
	}
	lit, ok := call.Args[0].(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		c.problem(call.Args[0].Pos(), "the text of prose is written out, since the values in it are looked up before the cell runs")
		return
	}
	text, _ := strconv.Unquote(lit.Value)
	parts, err := prose.Parse(text)
	if err != nil {
		c.problem(lit.Pos(), err.Error())
		return
	}
	at := 0
	for _, p := range parts {
		if len(p.Path) > 0 {
			at += max(strings.Index(lit.Value[at:], "{{"), 0)
			pos := lit.Pos() + token.Pos(at)
			c.actions[pos] = p.Text
			call.Args = append(call.Args, pathTo(p.Path, pos))
			at += 2
		}
	}
}

// pathTo is the expression a.b.c.
func pathTo(path []string, pos token.Pos) ast.Expr {
	var e ast.Expr = &ast.Ident{Name: path[0], NamePos: pos}
	for _, name := range path[1:] {
		e = &ast.SelectorExpr{X: e, Sel: &ast.Ident{Name: name, NamePos: pos}}
	}
	return e
}

// nameActions puts the action of a text in front of what is wrong with it.
func (c *check) nameActions() {
	for i, p := range c.found {
		if action := c.actions[p.pos]; action != "" {
			c.found[i].message = action + ": " + p.message
		}
	}
}

// prose lowers a call of prose.
func (l *lowerer) prose(e *ast.CallExpr) string {
	text, _ := strconv.Unquote(e.Args[0].(*ast.BasicLit).Value)
	parts, err := prose.Parse(text)
	if err != nil {
		return l.refuse(e, "%v", err)
	}
	spec, err := json.Marshal(parts)
	if err != nil {
		return l.refuse(e, "%v", err)
	}
	args := []string{strconv.Quote(string(spec))}
	for _, a := range e.Args[1:] {
		args = append(args, l.measured(l.known(a, 0), "", l.value(a, anyType)))
	}
	return runtimeName + ".Prose(" + strings.Join(args, ", ") + ")"
}

// prose is the text with the values in it.
func (m *Machine) prose(spec string, values ...any) any {
	var parts []prose.Part
	if err := json.Unmarshal([]byte(spec), &parts); err != nil {
		m.unwind(failed{err})
	}
	var out strings.Builder
	for _, p := range parts {
		if len(p.Path) == 0 {
			out.WriteString(p.Text)
			continue
		}
		text, err := m.worded(p, values[0])
		if err != nil {
			m.unwind(failed{fmt.Errorf("%s: %w", p.Text, err)})
		}
		out.WriteString(text)
		values = values[1:]
	}
	return display.Markdown(out.String())
}

// worded words a live value of a text.
func (m *Machine) worded(p prose.Part, x any) (string, error) {
	v, isNumber := numberIn(x)
	symbol := ""
	if with, ok := x.(measured); ok {
		symbol = with.units.Symbol
	}
	switch {
	case !isNumber && (p.Unit != "" || p.Digits > 0 || p.Bare):
		return "", fmt.Errorf("it is no number, so in, digits and bare do not fit")
	case !isNumber:
		return fmt.Sprint(unwrapped(x)), nil
	case p.Unit == "" && p.Digits == 0 && symbol == "":
		return inPlace(p, display.Number(v)), nil
	}
	text, err := m.lib.FormatIn(v, symbol, p.Unit, p.Digits)
	return inPlace(p, text), err
}

// inPlace is a number with its unit as its action wants it.
func inPlace(p prose.Part, text string) string {
	if p.Bare {
		text, _ = derive.SplitUnit(text)
	}
	if p.Math {
		return derive.Quantity(text)
	}
	return text
}
