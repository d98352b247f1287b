package display

import (
	"fmt"
	"reflect"
	"strconv"
)

// What a table made from a value shows at most; the caption says what is left out.
const (
	maxRows    = 60
	maxColumns = 24
)

// matrix is what gonum's matrices have in common.
type matrix interface {
	Dims() (r, c int)
	At(i, j int) float64
}

// tabular turns a value that reads best as a table into a [Table]: a matrix, rows of floats, a slice of structs. Others come back as they are, and so does
// what has a rendering of its own.
func tabular(v any) any {
	if isNil(v) || drawsItself(v) {
		return v
	}
	if m, ok := v.(matrix); ok {
		return matrixTable(m)
	}
	r := reflect.ValueOf(v)
	if r.Kind() != reflect.Slice && r.Kind() != reflect.Array || r.Len() == 0 {
		return v
	}
	switch elem := r.Type().Elem(); {
	case elem.Kind() == reflect.Slice || elem.Kind() == reflect.Array:
		if elem.Elem().Kind() == reflect.Float64 && !selfDrawing(elem) && !selfDrawing(elem.Elem()) {
			return floatTable(r)
		}
	case elem.Kind() == reflect.Struct && !selfDrawing(elem):
		if t, ok := structTable(r); ok {
			return t
		}
	}
	return v
}

// ownRendering are the interfaces of values that say themselves how they read.
var ownRendering = []reflect.Type{
	reflect.TypeFor[fmt.Stringer](), reflect.TypeFor[fmt.Formatter](), reflect.TypeFor[error](), reflect.TypeFor[Texter](), reflect.TypeFor[HTMLer](), reflect.TypeFor[SVGer](),
	reflect.TypeFor[PNGer](), reflect.TypeFor[LaTeXer](), reflect.TypeFor[Markdowner](), reflect.TypeFor[Tabler](),
}

func selfDrawing(t reflect.Type) bool {
	for _, i := range ownRendering {
		if t.Implements(i) {
			return true
		}
	}
	return false
}

func drawsItself(v any) bool { return selfDrawing(reflect.TypeOf(v)) }

func tableOf(t Tabler) Table {
	caption, header, units, texts := t.Table()
	rows := make([][]any, len(texts))
	for i, row := range texts {
		rows[i] = make([]any, len(row))
		for j, cell := range row {
			rows[i][j] = cell
		}
	}
	return Table{Caption: caption, Header: header, Units: units, Rows: rows}
}

func matrixTable(m matrix) Table {
	rows, columns := m.Dims()
	return indexed(rows, columns, func(i, j int) any { return m.At(i, j) })
}

func floatTable(r reflect.Value) Table {
	columns := 0
	for i := range r.Len() {
		columns = max(columns, r.Index(i).Len())
	}
	return indexed(r.Len(), columns, func(i, j int) any {
		if row := r.Index(i); j < row.Len() {
			return row.Index(j).Float()
		}
		return nil
	})
}

// indexed makes a table whose rows and columns are headed by their indices, as one writes them in code.
func indexed(rows, columns int, at func(i, j int) any) Table {
	shownRows, shownColumns := min(rows, maxRows), min(columns, maxColumns)
	t := Table{Headed: true, Header: []string{""}, Caption: fmt.Sprintf("%d × %d", rows, columns) + leftOut(rows, columns)}
	for j := range shownColumns {
		t.Header = append(t.Header, strconv.Itoa(j))
	}
	for i := range shownRows {
		row := []any{i}
		for j := range shownColumns {
			row = append(row, at(i, j))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func leftOut(rows, columns int) string {
	s := ""
	if rows > maxRows {
		s += fmt.Sprintf("; the first %d of %d rows", maxRows, rows)
	}
	if columns > maxColumns {
		s += fmt.Sprintf("; the first %d of %d columns", maxColumns, columns)
	}
	return s
}

// WithUnits turns a struct, or a list of structs, into a table with the units of its fields in the header. What cannot be shown whole that way, or says
// itself how it reads, comes back as it is.
func WithUnits(v any, units []string) any {
	if isNil(v) || drawsItself(v) {
		return v
	}
	r := reflect.ValueOf(v)
	if r.Kind() == reflect.Struct {
		row := reflect.MakeSlice(reflect.SliceOf(r.Type()), 1, 1)
		row.Index(0).Set(r)
		r = row
	}
	if r.Kind() != reflect.Slice || r.Len() == 0 || r.Type().Elem().Kind() != reflect.Struct || selfDrawing(r.Type().Elem()) || !simple(r.Type().Elem()) {
		return v
	}
	t, ok := structTable(r)
	if !ok {
		return v
	}
	for i, unit := range units {
		if i < len(t.Units) && t.Units[i] == "" {
			t.Units[i] = unit
		}
	}
	return t
}

// simple reports whether the fields of a struct are numbers, texts and truth values.
func simple(t reflect.Type) bool {
	for i := range t.NumField() {
		if k := t.Field(i).Type.Kind(); k > reflect.Complex128 && k != reflect.String {
			return false
		}
	}
	return true
}

// structTable makes a table with a column for each exported field; a field's tag unit:"m/s" puts the unit into the header.
func structTable(r reflect.Value) (Table, bool) {
	var fields []int
	var t Table
	elem := r.Type().Elem()
	for i := range elem.NumField() {
		f := elem.Field(i)
		if !f.IsExported() {
			return t, false // part of the value would be lost
		}
		fields = append(fields, i)
		t.Header = append(t.Header, f.Name)
		t.Units = append(t.Units, f.Tag.Get("unit"))
	}
	for i := range min(r.Len(), maxRows) {
		row := make([]any, len(fields))
		for j, f := range fields {
			row[j] = r.Index(i).Field(f).Interface()
		}
		t.Rows = append(t.Rows, row)
	}
	if r.Len() > maxRows {
		t.Caption = fmt.Sprintf("the first %d of %d rows", maxRows, r.Len())
	}
	return t, len(fields) > 0
}
