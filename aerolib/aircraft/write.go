package aircraft

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"foreplane/aerolib/unit"
)

// Write writes the aeroplane in the format that [Read] reads: reading it back gives the same aeroplane, bit for bit, and writing that gives the same text.
// Comments of a file that was read are not kept. It returns the error of [Aircraft.Validate] for an aeroplane that could not be read back.
func (a Aircraft) Write(w io.Writer) error {
	if err := a.Validate(); err != nil {
		return err
	}
	d := document{Aircraft: a.Clone(), sections: a.Sections()}
	b, err := Weigh(a.Masses)
	stated := map[string]bool{
		"mass": err != nil || a.Mass != b.Mass, "cg": err != nil || a.CG != b.X, "cg_height": err != nil || a.CGHeight != b.Z,
	}
	d.mass, d.cg, d.cgHeight = a.Mass, a.CG, a.CGHeight
	var out writer
	for _, e := range bind(documentFields, &d) {
		if omit, known := stated[e.key]; !known || omit {
			out.entry("", e)
		}
	}
	_, err = w.Write(out.Bytes())
	return err
}

// String returns the aeroplane as [Aircraft.Write] has it, or why that is not possible.
func (a Aircraft) String() string {
	var b strings.Builder
	if err := a.Write(&b); err != nil {
		return err.Error()
	}
	return b.String()
}

type writer struct{ bytes.Buffer }

// entry writes a key on lines of its own.
func (w *writer) entry(path string, e entry) {
	switch v := e.value.(type) {
	case rows:
		w.rows(join(path, e.key), e.key, v)
	case []entry:
		if path == "" {
			fmt.Fprintf(w, "\n[%s]\n", e.key)
			w.all(e.key, v)
		}
	default:
		if e.shown() {
			fmt.Fprintf(w, "%s = %s\n", e.key, e.write())
		}
	}
}

func (w *writer) all(path string, entries []entry) {
	for _, e := range entries {
		w.entry(path, e)
	}
}

// rows writes a list: short tables in one line each, others under headings.
func (w *writer) rows(path, key string, list rows) {
	if list.count() == 0 {
		return
	}
	if list.short() {
		if !strings.Contains(path, ".") {
			fmt.Fprintln(w)
		}
		fmt.Fprintf(w, "%s = [\n", key)
		for i := range list.count() {
			fmt.Fprintf(w, "  %s,\n", inline(list.row(i)))
		}
		fmt.Fprintln(w, "]")
		return
	}
	for i := range list.count() {
		fmt.Fprintf(w, "\n[[%s]]\n", path)
		w.all(path, list.row(i))
	}
}

// inline writes a table in one line.
func inline(entries []entry) string {
	var parts []string
	for _, e := range entries {
		if e.shown() {
			parts = append(parts, e.key+" = "+e.write())
		}
	}
	return "{ " + strings.Join(parts, ", ") + " }"
}

// shown reports whether the value differs from what a missing key means. Numbers of sections are always shown, since a missing one is computed.
func (e entry) shown() bool {
	switch v := e.value.(type) {
	case *float64:
		return e.need || *v != 0 || math.Signbit(*v) || always[e.key]
	case *bool:
		return *v
	case []entry:
		for _, inner := range v {
			if inner.shown() {
				return true
			}
		}
		return false
	}
	return e.need || e.write() != `""`
}

var always = map[string]bool{
	"lift_slope": true, "zero_lift": true, "moment": true, "max_lift": true, "thickness": true, "thickest": true, "mass": true, "cg": true, "cg_height": true,
}

// write returns the value as the file has it.
func (e entry) write() string {
	switch v := e.value.(type) {
	case *float64:
		if bare(e.kind) {
			return number(*v)
		}
		return quote(unit.FormatExact(*v, symbolOf(e.kind)))
	case *bool:
		return strconv.FormatBool(*v)
	case *Section:
		return quote(v.Name)
	case *Role:
		return quote(string(*v))
	case *Purpose:
		return quote(string(*v))
	case *ItemKind:
		return quote(string(*v))
	case *string:
		return quote(*v)
	case []entry:
		return inline(v)
	}
	panic(fmt.Sprintf("aircraft: key %s has a value of type %T", e.key, e.value))
}

// symbolOf returns the unit in which quantities of a kind are written.
func symbolOf(kind string) string {
	switch kind {
	case "Angle":
		return "°"
	case "Power":
		return "kW"
	case "RotationRate":
		return "rpm"
	case "PowerConsumption":
		return "kg/(kW·h)"
	case "PerRadian":
		return "1/rad"
	}
	k, _ := unit.LookupKind(kind)
	return k.SI
}

// number writes a float as TOML has it.
func number(v float64) string {
	text := strconv.FormatFloat(v, 'g', -1, 64)
	if !strings.ContainsAny(text, ".e") {
		text += ".0"
	}
	return text
}

// quote writes a text as TOML has it. The escapes of JSON are among those of TOML.
func quote(text string) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(text); err != nil {
		panic("aircraft: " + err.Error()) // a string can always be encoded
	}
	return strings.TrimSpace(b.String())
}
