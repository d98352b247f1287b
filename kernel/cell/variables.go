package cell

import (
	"fmt"
	"go/types"
	"slices"
	"strings"
	"time"
)

// Variable is a variable of the session, for people to look at.
type Variable struct {
	Name  string    `json:"name"`
	Type  string    `json:"type"`
	Value string    `json:"value"`          // cut if it is long
	Unit  string    `json:"unit,omitempty"` // the SI unit, if the dimension is known
	Size  string    `json:"size"`
	Cell  int       `json:"cell"` // that was the last to set it
	Set   time.Time `json:"set"`  // when
}

// note takes over what the machine says about variables.
func (f *Front) note(values []Snapshot) {
	if f.values == nil {
		f.values = map[string]Snapshot{}
	}
	for _, v := range values {
		f.values[v.Name] = v
	}
}

func (f *Front) variables() []Variable {
	f.mu.Lock()
	defer f.mu.Unlock()
	list := []Variable{}
	for name, o := range f.session.names {
		if o, ok := o.(*types.Var); ok && f.session.slots[o] != "" {
			list = append(list, f.variable(name, o))
		}
	}
	slices.SortFunc(list, func(a, b Variable) int { return strings.Compare(a.Name, b.Name) })
	return list
}

func (f *Front) variable(name string, o *types.Var) Variable {
	s := f.values[name]
	v := Variable{Name: name, Type: f.typeString(typeOf(o)), Value: s.Value, Size: s.size()}
	if q, ok := f.dims.Object(o); ok {
		v.Unit = q.Symbol
	}
	if c, ok := f.ledger.Setter(name); ok {
		v.Cell, v.Set = c.Number, c.Time
	}
	return v
}

// size words how much memory a variable takes.
func (s Snapshot) size() string {
	text := fmt.Sprintf("%d B", s.Bytes)
	if s.Bytes >= 10_000 {
		text = fmt.Sprintf("%.0f kB", float64(s.Bytes)/1000)
	}
	if s.Bytes >= 10_000_000 {
		text = fmt.Sprintf("%.0f MB", float64(s.Bytes)/1e6)
	}
	if s.More {
		return "more than " + text
	}
	return text
}

// variableTable shows variables.
type variableTable []Variable

// Table implements display.Tabler.
func (t variableTable) Table() (caption string, header, units []string, rows [][]string) {
	for _, v := range t {
		rows = append(rows, []string{v.Name, v.Type, v.Value, v.Unit, v.Size, fmt.Sprint(v.Cell)})
	}
	return "", []string{"name", "type", "value", "unit", "size", "cell"}, nil, rows
}
