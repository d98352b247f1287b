package aircraft

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"foreplane/aerolib/unit"
)

// Read reads an aeroplane from a file in TOML, whose keys stand in FORMAT.md. Quantities are texts with their unit, such as "8.40 m" or "22°"; numbers of
// dimension 1 may stand bare. Every key that is not known is refused.
//
// What a section does not state is computed: from a NACA designation lift slope, zero-lift angle and moment by thin-aerofoil theory, and the thickness; from
// coordinates the same by the frictionless flow; from polars lift slope and zero-lift angle by the straight line from −4° to 6°, the moment at zero lift, and the
// greatest lift. Mass and CG are the sums of the masses unless stated.
//
// It returns all errors that it finds, joined: [*Error] values with line, key and what was expected. Files of sections are found by [ReadFile] and [ReadFS] only.
func Read(r io.Reader) (Aircraft, error) {
	text, err := io.ReadAll(r)
	if err != nil {
		return Aircraft{}, err
	}
	return read(text, nil)
}

// ReadFile reads an aeroplane as [Read] does, with the files of its sections from the same folder.
func ReadFile(path string) (Aircraft, error) {
	return ReadFS(os.DirFS(filepath.Dir(path)), filepath.Base(path))
}

// ReadFS reads an aeroplane as [Read] does, with the files of its sections from the same file system.
func ReadFS(files fs.FS, name string) (Aircraft, error) {
	text, err := fs.ReadFile(files, name)
	if err != nil {
		return Aircraft{}, fmt.Errorf("aircraft: %w", err)
	}
	return read(text, files)
}

func read(text []byte, files fs.FS) (Aircraft, error) {
	var tree map[string]any
	if err := toml.Unmarshal(text, &tree); err != nil {
		return Aircraft{}, syntax(err)
	}
	lines, err := indexLines(text)
	if err != nil {
		return Aircraft{}, syntax(err)
	}
	name, _ := tree["name"].(string)
	r := &reader{checker: checker{name: name, line: lines.of, stated: lines.has}, lines: lines}
	d := &document{}
	r.table("", tree, bind(documentFields, d))
	r.resolve(d, files)
	if len(r.errs) == 0 {
		r.weigh(d)
	}
	if len(r.errs) == 0 {
		r.aircraft(d.Aircraft)
	}
	return d.Aircraft, errors.Join(r.errs...)
}

// syntax tells where the text is no TOML.
func syntax(err error) error {
	var where *toml.DecodeError
	if !errors.As(err, &where) {
		return &Error{Err: err}
	}
	line, _ := where.Position()
	return &Error{Line: line, Key: strings.Join(where.Key(), "."), Err: errors.New(strings.TrimPrefix(where.Error(), "toml: ") + ", in what must be TOML")}
}

// reader fills tables and collects errors.
type reader struct {
	checker
	lines index
}

// table reads the keys of a table into entries.
func (r *reader) table(key string, tree map[string]any, entries []entry) {
	for _, k := range slices.Sorted(keysOf(tree)) {
		if !slices.ContainsFunc(entries, func(e entry) bool { return e.key == k }) {
			r.failf(join(key, k), "there is no such key here: known are %s", keys(entries))
		}
	}
	for _, e := range entries {
		at := join(key, e.key)
		value, ok := tree[e.key]
		switch {
		case ok:
			r.entry(at, e, value)
		case e.need:
			r.failf(at, "it is missing: %s, as in %s", e.text, e.example())
		}
	}
}

func keysOf(tree map[string]any) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range tree {
			if !yield(k) {
				return
			}
		}
	}
}

func keys(entries []entry) string {
	var all []string
	for _, e := range entries {
		all = append(all, e.key)
	}
	return strings.Join(all, ", ")
}

func join(key, k string) string {
	if key == "" {
		return k
	}
	return key + "." + k
}

// entry reads one value.
func (r *reader) entry(key string, e entry, value any) {
	switch e.kind {
	case words:
		if text, ok := value.(string); ok {
			setText(e.value, text)
			return
		}
	case named:
		if text, ok := value.(string); ok {
			e.value.(*Section).Name = text
			return
		}
	case truth:
		if b, ok := value.(bool); ok {
			*e.value.(*bool) = b
			return
		}
	case nested:
		if tree, ok := value.(map[string]any); ok {
			r.table(key, tree, e.value.([]entry))
			return
		}
	case tables:
		if r.rows(key, e.value.(rows), value) {
			return
		}
	default:
		r.quantity(key, e, value)
		return
	}
	r.failf(key, "it is %s, must be %s: %s", describe(value), e.example(), e.text)
}

func setText(to any, text string) {
	switch to := to.(type) {
	case *Role:
		*to = Role(text)
	case *Purpose:
		*to = Purpose(text)
	case *ItemKind:
		*to = ItemKind(text)
	case *string:
		*to = text
	}
}

// rows reads a list of tables.
func (r *reader) rows(key string, list rows, value any) bool {
	items, ok := value.([]any)
	if !ok {
		return false
	}
	for i, item := range items {
		tree, ok := item.(map[string]any)
		if !ok {
			return false
		}
		r.table(fmt.Sprintf("%s[%d]", key, i+1), tree, list.add())
	}
	return true
}

// quantity reads a number with its unit.
func (r *reader) quantity(key string, e entry, value any) {
	to := e.value.(*float64)
	switch value := value.(type) {
	case string:
		v, err := unit.Parse(value, e.kind)
		if err != nil {
			r.failf(key, "%w (%s)", err, e.text)
		}
		*to = v
		return
	case int64:
		*to = float64(value)
	case float64:
		*to = value
	default:
		r.failf(key, "it is %s, must be a text with a unit, as in %s: %s", describe(value), e.example(), e.text)
		return
	}
	switch {
	case !bare(e.kind):
		r.failf(key, "a unit is missing: it is %s, must be a text with a unit, as in %s: %s", describe(value), e.example(), e.text)
	case math.IsNaN(*to) || math.IsInf(*to, 0):
		r.failf(key, "it is %s, must be a finite number: %s", describe(value), e.text)
	}
}

// bare reports whether quantities of a kind may stand without a unit.
func bare(kind string) bool {
	return kind == "Ratio" || kind == "Coefficient" || kind == "ReynoldsNumber"
}

func describe(value any) string {
	switch value := value.(type) {
	case string:
		return fmt.Sprintf("the text %q", value)
	case bool:
		return fmt.Sprintf("%t", value)
	case int64, float64:
		return fmt.Sprintf("the number %v", value)
	case []any:
		return "a list"
	case map[string]any:
		return "a table"
	}
	return fmt.Sprintf("%v", value)
}

// example shows how the value of a key is written.
func (e entry) example() string {
	switch e.kind {
	case words, named:
		return e.key + ` = "…"`
	case truth:
		return e.key + " = true"
	case tables:
		return "[[" + e.key + "]]"
	case nested:
		return "[" + e.key + "]"
	}
	if bare(e.kind) {
		return e.key + " = 0.25"
	}
	return fmt.Sprintf("%s = %q", e.key, unit.Format(1.5, symbolOf(e.kind)))
}

// resolve gives each station the section that it names, and each section the numbers that are not stated.
func (r *reader) resolve(d *document, files fs.FS) {
	known, keys := map[string]Section{}, map[string]string{}
	r.section = func(name string) string { return keys[name] }
	var names []string
	for i := range d.sections {
		s := &d.sections[i]
		key := fmt.Sprintf("sections[%d]", i+1)
		if _, twice := known[s.Name]; twice {
			r.failf(key+".name", "there are two sections called %q", s.Name)
		}
		if err := s.derive(files, func(k string) bool { return r.lines.has(key + "." + k) }); err != nil {
			r.fail(key, err)
		}
		known[s.Name], keys[s.Name] = *s, key
		names = append(names, s.Name)
	}
	for i := range d.Surfaces {
		for j := range d.Surfaces[i].Stations {
			to := &d.Surfaces[i].Stations[j].Section
			s, ok := known[to.Name]
			if !ok && to.Name != "" {
				r.failf(fmt.Sprintf("surfaces[%d].stations[%d].section", i+1, j+1), "there is no section %q: known are %s", to.Name, strings.Join(names, ", "))
			}
			*to = s
		}
	}
}

// weigh sets mass and centre of gravity.
func (r *reader) weigh(d *document) {
	if len(d.Masses) == 0 && !(r.lines.has("mass") && r.lines.has("cg")) {
		r.failf("masses", "there are none: list the masses with their arms in [[masses]], or state mass and cg")
		return
	}
	if len(d.Masses) > 0 {
		b, err := d.Balance()
		if err != nil {
			r.fail("masses", err)
			return
		}
		d.Mass, d.CG, d.CGHeight = b.Mass, b.X, b.Z
	}
	for key, pair := range map[string][2]*float64{"mass": {&d.Mass, &d.mass}, "cg": {&d.CG, &d.cg}, "cg_height": {&d.CGHeight, &d.cgHeight}} {
		if r.lines.has(key) {
			*pair[0] = *pair[1]
		}
	}
}
