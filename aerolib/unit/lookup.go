package unit

import (
	"slices"
	"strings"
)

var (
	kindByName = indexKinds()
	units      = fillUnits()
	unitByText = indexUnits()
)

func indexKinds() map[string]Kind {
	index := make(map[string]Kind, len(kinds))
	for _, k := range kinds {
		index[k.Name] = k
	}
	return index
}

func fillUnits() []Unit {
	all := make([]Unit, len(rows))
	for i, r := range rows {
		k := kindByName[r.kind]
		all[i] = Unit{r.symbol, r.name, r.factor, r.offset, r.kind, r.aliases, k.Dimension, k.Angle}
	}
	return all
}

// indexUnits maps every spelling to its unit. Spelled-out names are read in lower case too; symbols are not, since MW is not mW.
func indexUnits() map[string]Unit {
	index := make(map[string]Unit, 4*len(units))
	for _, u := range units {
		for _, text := range append([]string{u.Symbol, u.Name, strings.ToLower(u.Name)}, u.Aliases...) {
			index[text] = u
		}
	}
	return index
}

// All returns the table of units, grouped by kind.
func All() []Unit { return slices.Clone(units) }

// Kinds returns the table of quantities.
func Kinds() []Kind { return slices.Clone(kinds) }

// LookupKind returns the kind with the name of an alias, such as "TrueAirspeed".
func LookupKind(name string) (Kind, bool) {
	k, ok := kindByName[name]
	return k, ok
}

// Lookup returns the unit with the given symbol, name or alias from the table. [ParseUnit] also reads units that are put together from others.
func Lookup(text string) (Unit, bool) {
	text = tidy(text)
	if u, ok := unitByText[text]; ok {
		return u, true
	}
	if len(text) > 3 && !strings.ContainsAny(text, "·/^") { // a word, where case carries no meaning
		u, ok := unitByText[strings.ToLower(text)]
		return u, ok
	}
	return Unit{}, false
}

// Root returns the kind that k is a special case of in the end, or k itself.
func (k Kind) Root() Kind {
	for k.Of != "" {
		k = kindByName[k.Of]
	}
	return k
}

// Accepts reports whether a value in the unit can stand for the kind. The dimension and the exponent of the angle must be equal, and a unit with a name
// of its own must belong to the kind: J is not a unit of moment, but N·m, which is put together, is one of energy too.
func (k Kind) Accepts(u Unit) bool {
	if u.Dimension != k.Dimension || u.Angle != k.Angle {
		return false
	}
	return u.Kind == "" || isCompound(u.Symbol) || kindByName[u.Kind].Root().Name == k.Root().Name
}

func isCompound(symbol string) bool { return strings.ContainsAny(symbol, "/·^"+superscripts) }

// tidy writes every kind of white space as one blank and removes it at the ends.
func tidy(text string) string { return strings.Join(strings.Fields(text), " ") }
