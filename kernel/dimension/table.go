package dimension

import (
	"strings"
	"unicode"
)

// Table says which aliases of float64 are quantities.
type Table struct {
	Package string // path of the package that declares the aliases and the constants that are units
	Kinds   []Kind // the first one of a dimension, without angle, gives a computed value its name
	Units   []Unit
}

// Unit is a constant of the table's package.
type Unit struct {
	Name    string // of the constant
	Symbol  string // as printed
	Kind    string // the quantity it measures first of all
	Aliases []string
}

// Kind is a quantity.
type Kind struct {
	Name      string // of its alias
	Dimension Dimension
	Angle     int    // not 0 for what is measured by angle
	Of        string // the more general kind
	Exact     bool   // the name means this, and not the special cases that are of it: Pressure and DynamicPressure
	SI        string // symbol of the SI unit; may be empty for dimension 1
}

// known is a table with its indexes.
type known struct {
	Table
	byName map[string]Kind
	byDim  map[Dimension]Kind
}

func newKnown(t Table) *known {
	k := &known{t, map[string]Kind{}, map[Dimension]Kind{}}
	for _, kind := range t.Kinds {
		k.byName[kind.Name] = kind
		cancels := kind.Dimension[0].num == 0 && strings.Contains(kind.SI, "kg") // no name for a computed value: 1/V is not in kg/(N·s)
		if _, ok := k.byDim[kind.Dimension]; !ok && kind.Of == "" && kind.Angle == 0 && !cancels {
			k.byDim[kind.Dimension] = kind
		}
	}
	return k
}

func (k *known) root(name string) string {
	for k.byName[name].Of != "" {
		name = k.byName[name].Of
	}
	return name
}

// isA reports whether a kind is the other one or a special case of it.
func (k *known) isA(special, general string) bool {
	for ; special != ""; special = k.byName[special].Of {
		if special == general {
			return true
		}
	}
	return false
}

// symbol returns the unit of a quantity.
func (k *known) symbol(kind string, d Dimension) string {
	if kind == "" {
		kind = k.byDim[d].Name
	}
	if s := k.byName[kind].SI; s != "" {
		return s
	}
	return d.String()
}

// phrase names a quantity with its article.
func (k *known) phrase(kind string, d Dimension) string {
	if kind == "" {
		kind = k.byDim[d].Name
	}
	switch {
	case kind == "" || kind == "Ratio" && d == (Dimension{}):
		if d == (Dimension{}) {
			return "a number without unit"
		}
		return "a quantity in " + d.String()
	}
	return withArticle(words(kind))
}

// words writes a name in capitals as words.
func words(name string) string {
	var b strings.Builder
	for i, r := range name {
		if unicode.IsUpper(r) && i > 0 {
			b.WriteByte(' ')
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return b.String()
}

// plural returns the plural of a unit in words: what stands before "per" is counted.
func plural(unit string) string {
	counted, per, quotient := strings.Cut(unit, " per ")
	switch {
	case strings.HasSuffix(counted, "foot"):
		counted = strings.TrimSuffix(counted, "foot") + "feet"
	case strings.HasSuffix(counted, "inch"):
		counted += "es"
	case !strings.HasSuffix(counted, "hertz") && !strings.HasSuffix(counted, "horsepower"):
		counted += "s"
	}
	if quotient {
		counted += " per " + per
	}
	return counted
}

func withArticle(noun string) string {
	if strings.ContainsRune("aeio", rune(noun[0])) || strings.HasPrefix(noun, "unit ") {
		return "an " + noun
	}
	return "a " + noun
}
