package cell

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/types"
	"reflect"
	"strings"

	"foreplane/kernel/dimension"
	"foreplane/kernel/display"
)

// units is what the checker of dimensions knows of a value that is shown.
type units struct {
	Name   string   `json:"name,omitempty"`   // of the variable, if it is the value of one
	Kind   string   `json:"kind,omitempty"`   // of a number, or of the elements of a list
	Symbol string   `json:"symbol,omitempty"` // of its SI unit
	Fields []string `json:"fields,omitempty"` // SI units of the fields of a struct, or of the structs in a list
}

// measured is a value with its units, on the way to where it is shown.
type measured struct {
	value any
	units units
}

// known returns what is known of the i-th value of an expression.
func (l *lowerer) known(e ast.Expr, i int) dimension.Value {
	if values := l.cell.dims.Values(e); i < len(values) {
		return values[i]
	}
	return dimension.Value{}
}

// nameOf returns the text of an expression that names a value: x, or x.Field.
func nameOf(e ast.Expr) string {
	switch x := ast.Unparen(e).(type) {
	case *ast.Ident:
		return x.Name
	case *ast.SelectorExpr:
		if nameOf(x.X) != "" {
			return types.ExprString(x)
		}
	}
	return ""
}

// measured lowers a value that is shown with its units, if it has any.
func (l *lowerer) measured(v dimension.Value, name, lowered string) string {
	u := units{Name: name, Symbol: symbol(v.Quantity)}
	if u.Symbol != "" && l.front.dims.Named(v.Quantity) {
		u.Kind = v.Quantity.Kind
	}
	has := u.Symbol != ""
	for _, q := range v.Fields {
		u.Fields = append(u.Fields, symbol(q))
		has = has || symbol(q) != ""
	}
	if !has {
		return lowered
	}
	text, err := json.Marshal(u)
	if err != nil {
		panic(err)
	}
	return fmt.Sprintf("%s.Measured(%q, %s)", runtimeName, text, lowered)
}

// measuredArguments is arguments for a function that shows them.
func (l *lowerer) measuredArguments(e *ast.CallExpr, sig *types.Signature) []string {
	var parts []string
	for i, a := range e.Args {
		parts = append(parts, l.measured(l.known(a, 0), nameOf(a), l.value(a, parameter(sig, i, false))))
	}
	return l.listArgument(e, sig, parts)
}

// symbol is the SI unit to print behind a number; pure numbers have none.
func symbol(q dimension.Quantity) string {
	if q.Symbol == "1" {
		return ""
	}
	return q.Symbol
}

// measure is what lowered source calls.
func measure(text string, v any) any {
	m := measured{value: v}
	if err := json.Unmarshal([]byte(text), &m.units); err != nil {
		panic(err)
	}
	return m
}

// labelled is a value that shows as a text with its unit.
type labelled struct{ text string }

func (l labelled) Text() string { return l.text }

// shown returns what to show: a number or a list with its unit, a table with the units in its header, or the value as it is.
func (m measured) shown(lib Library) any {
	text := ""
	switch x := m.value.(type) {
	case float64:
		text = lib.Format(x, m.units.Kind, m.units.Symbol)
	case []float64:
		var parts []string
		for _, v := range x {
			parts = append(parts, display.Number(v))
		}
		text = "[" + strings.Join(parts, " ") + "] " + m.units.Symbol
	default:
		if m.units.Symbol != "" && reflect.ValueOf(x).Kind() == reflect.Map {
			text = fmt.Sprint(x) + " " + m.units.Symbol
			break
		}
		return m.table()
	}
	if m.units.Name != "" {
		text = m.units.Name + " = " + text
	}
	return labelled{text}
}

// table returns a struct, or a list of structs, as a table with the units in its header.
func (m measured) table() any {
	b, ok := unbox(m.value)
	if !ok {
		return display.WithUnits(m.value, m.units.Fields)
	}
	rows, s := []reflect.Value{reflect.ValueOf(b.V)}, b.t
	if s.Kind == "slice" || s.Kind == "array" {
		list := rows[0]
		rows, s = nil, s.table.list[s.Elem]
		for i := range list.Len() {
			rows = append(rows, list.Index(i))
		}
	}
	if s.Kind != "struct" || len(s.keys) > 0 || len(rows) == 0 {
		return m.value
	}
	t := display.Table{Units: m.units.Fields}
	for _, f := range s.Fields {
		if _, basic := basicTypes[s.table.list[f.Type].Kind]; !basic || f.Embedded {
			return m.value
		}
		t.Header = append(t.Header, f.Name)
	}
	for _, r := range rows {
		row, ok := fieldValues(r)
		if !ok {
			return m.value
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// fieldValues returns the fields of a struct as the interpreter has made it.
func fieldValues(r reflect.Value) ([]any, bool) {
	for r.Kind() == reflect.Pointer || r.Kind() == reflect.Interface {
		r = r.Elem()
	}
	if r.Kind() != reflect.Struct {
		return nil, false
	}
	var out []any
	for i := range r.NumField() {
		if !r.Field(i).CanInterface() {
			return nil, false
		}
		out = append(out, r.Field(i).Interface())
	}
	return out, true
}
