package cell

import (
	"fmt"
	"math"
	"reflect"

	"foreplane/kernel/cell/internal/derive"
	"foreplane/kernel/display"
)

// derived is what a run has told of its statements, for a cell that is typeset.
type derived struct {
	events  derive.Derivation
	started map[int][]any // the operands of equations whose statements run
}

// doubt is the uncertainty of a variable: the derivatives by its independent sources times their uncertainties. It holds as long as the value is the same.
type doubt struct {
	value float64
	parts map[string]float64
}

// total is the standard uncertainty, by the law of propagation for independent sources (JCGM 100:2008, eq. 10).
func (d doubt) total() float64 {
	sum := 0.0
	for _, p := range d.parts {
		sum = math.Hypot(sum, p)
	}
	return sum
}

// before notes what the k-th equation is computed from.
func (m *Machine) before(k int, operands ...any) {
	r := m.current()
	if r.derived.started == nil {
		r.derived.started = map[int][]any{}
	}
	r.derived.started[k] = operands
}

// after notes what the k-th equation has given, and what its operands are now.
func (m *Machine) after(k int, result any, now ...any) {
	r := m.current()
	e := derive.Event{Equation: r.program.Derive[k]}
	before := r.derived.started[k]
	e.Operands = m.derivedValues(before)
	for i, name := range e.Equation.Names {
		if i < len(now) && name != e.Equation.Name && unwrapped(now[i]) != unwrapped(before[i]) {
			e.Moved = true
		}
	}
	if e.Equation.Result {
		e.Result, e.Matrix = m.derivedValue(result), matrixIn(result)
		m.propagate(&e, result, fmt.Sprintf("%d.%d", r.program.Cell, k))
	}
	r.derived.events = append(r.derived.events, e)
}

func (m *Machine) derivedValues(list []any) []derive.Value {
	var out []derive.Value
	for _, x := range list {
		out = append(out, m.derivedValue(x))
	}
	return out
}

// derivedValue words a number with its units.
func (m *Machine) derivedValue(x any) derive.Value {
	v, ok := numberIn(x)
	if !ok {
		return derive.Value{Number: math.NaN(), Text: "?"}
	}
	return derive.Value{Number: v, Text: m.wordedAs(x, v)}
}

// wordedAs words a number with the units of a value.
func (m *Machine) wordedAs(x any, v float64) string {
	if with, ok := x.(measured); ok && with.units.Symbol != "" {
		return m.lib.Format(v, with.units.Kind, with.units.Symbol)
	}
	return display.Number(v)
}

// numberIn returns the number that a value is.
func numberIn(x any) (float64, bool) {
	switch v := reflect.ValueOf(unwrapped(x)); {
	case v.CanFloat():
		return v.Float(), true
	case v.CanInt():
		return float64(v.Int()), true
	case v.CanUint():
		return float64(v.Uint()), true
	}
	return 0, false
}

// unwrapped is a value without its units and the type that its cell has given it.
func unwrapped(x any) any {
	if with, ok := x.(measured); ok {
		x = with.value
	}
	if b, ok := unbox(x); ok {
		x = b.V
	}
	return x
}

// matrixIn words the elements of a column or a matrix, each without its unit.
func matrixIn(x any) [][]string {
	x = unwrapped(x)
	if m, ok := x.(interface {
		Dims() (rows, columns int)
		At(i, j int) float64
	}); ok {
		rows, columns := m.Dims()
		out := make([][]string, rows)
		for i := range out {
			for j := range columns {
				out[i] = append(out[i], display.Number(m.At(i, j)))
			}
		}
		return out
	}
	v := reflect.ValueOf(x)
	if v.Kind() != reflect.Slice && v.Kind() != reflect.Array {
		return nil
	}
	var out [][]string
	for i := range v.Len() {
		var row []string
		switch e := reflect.ValueOf(unwrapped(v.Index(i).Interface())); {
		case e.CanFloat():
			row = []string{display.Number(e.Float())}
		case e.Kind() == reflect.Slice || e.Kind() == reflect.Array:
			for _, r := range matrixIn(e.Interface()) {
				row = append(row, r...)
			}
		}
		out = append(out, row)
	}
	return out
}

// propagate works out the uncertainty of a result from those of its operands.
func (m *Machine) propagate(e *derive.Event, result any, source string) {
	values := make([]float64, len(e.Operands))
	for i, o := range e.Operands {
		values[i] = o.Number
	}
	parts, known := m.parts(e.Equation, values)
	own, stated := e.Equation.Own(values)
	switch {
	case !known:
		e.Remark = "± is not carried through this"
	case !stated:
		e.Remark = "± inside of a formula is not carried on: give it to a variable first"
	case own > 0:
		parts[source] = own
	}
	delete(m.doubts, e.Equation.Name)
	if !known || !stated || len(parts) == 0 {
		return
	}
	d := doubt{e.Result.Number, parts}
	m.doubts[e.Equation.Name] = d
	e.PlusMinus = derive.Value{Number: d.total(), Text: m.wordedAs(result, d.total())}
}

// parts adds up what the uncertainties of the operands do to a result. It reports false if one is uncertain and the formula cannot be differentiated.
func (m *Machine) parts(q derive.Equation, values []float64) (map[string]float64, bool) {
	out := map[string]float64{}
	slopes, ok := q.Slopes(values)
	for i, v := range values {
		d, uncertain := m.doubts[q.Names[i]]
		if !uncertain || d.value != v {
			continue
		}
		if !ok {
			return nil, false
		}
		for source, part := range d.parts {
			out[source] += slopes[i] * part
		}
	}
	return out, true
}

// derives makes the derivation the value of a cell whose last expression is part of it.
func (m *Machine) derives(r *run, o *Outcome) bool {
	k := len(r.program.Derive) - 1
	if k < 0 || r.program.Derive[k].Name != "" || !r.program.Derive[k].Result || len(r.values) != 1 {
		return false
	}
	m.after(k, r.values[0])
	b := display.Of(r.derived.events)
	o.Value, r.derived.events = &b, nil
	return true
}

// showDerivation shows what has been derived, as far as the cell has come, if it is not the value of the cell.
func (m *Machine) showDerivation(r *run) {
	if len(r.derived.events) > 0 {
		r.out.Show(display.Of(r.derived.events), "")
	}
}
