package cell

import (
	"go/types"
	"slices"
	"strings"

	"foreplane/kernel"
	"foreplane/kernel/dimension"
)

// addUnits proposes the units of the quantity that fits the place, and units whose symbol has been written.
func (l *list) addUnits(g *glance) {
	f := l.front
	want, wanted := f.expected(g)
	pkg, err := f.importer.Import(f.quantities.Package)
	if err != nil {
		return
	}
	for _, u := range f.quantities.Units {
		o, constant := pkg.Scope().Lookup(u.Name).(*types.Const)
		if !constant || l.hidden(g, u.Name) {
			continue
		}
		fits := wanted && f.dims.Fits(want, u.Kind)
		switch {
		case l.isSpelling(u) && (fits || !wanted):
			l.seen[u.Name] = true
			l.found = append(l.found, ranked{kernel.Candidate{Text: u.Name, Kind: kindOf(o), Signature: f.signature(o)}, rankUnit})
		case fits:
			l.add(u.Name, o, rankUnit)
		}
	}
}

// hidden reports whether a cell has taken the name of a unit for something else.
func (l *list) hidden(g *glance, name string) bool {
	return l.front.session.names[name] != nil || g.names[name] != nil
}

// isSpelling reports whether what has been written is the symbol of a unit or another spelling of it.
func (l *list) isSpelling(u dimension.Unit) bool {
	return l.prefix != "" && (l.prefix == u.Symbol || slices.ContainsFunc(u.Aliases, func(a string) bool { return strings.EqualFold(a, l.prefix) }))
}
