package cell

import (
	"cmp"
	"go/token"
	"go/types"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// maxNear is how many names are proposed in place of one that does not exist.
const maxNear = 3

// near returns the names at hand that may have been meant: a unit by its symbol or another spelling, or else what is spelled much alike.
func (x explainer) near(name string) []string {
	if unit := x.front.unitNamed(name); unit != "" {
		return []string{unit}
	}
	f := x.front
	var names []string
	for n := range x.names {
		names = append(names, n)
	}
	for id, o := range x.info.Defs {
		if o != nil && id.Pos() < x.pos && !isField(o) {
			names = append(names, id.Name)
		}
	}
	for n := range f.session.names {
		names = append(names, n)
	}
	for n := range f.builtins {
		names = append(names, n)
	}
	for n := range f.prel.Packages {
		names = append(names, n)
	}
	for _, path := range f.prel.Dot {
		if pkg, err := f.importer.Import(path); err == nil {
			names = append(names, slices.DeleteFunc(pkg.Scope().Names(), func(n string) bool { return !token.IsExported(n) })...)
		}
	}
	return nearest(name, append(names, types.Universe.Names()...))
}

func isField(o types.Object) bool {
	v, ok := o.(*types.Var)
	return ok && v.IsField()
}

// unitNamed returns the constant of a unit that is written in another way: by its symbol, in the plural, in small letters.
func (f *Front) unitNamed(text string) string {
	text = strings.ReplaceAll(text, "_", " ")
	spellings := []string{text, strings.TrimSuffix(text, "s"), strings.TrimSuffix(text, "es")}
	for _, same := range []func(a, b string) bool{func(a, b string) bool { return a == b }, strings.EqualFold} {
		for _, u := range f.quantities.Units {
			for _, known := range append([]string{u.Symbol, u.Name}, u.Aliases...) {
				if f.isConstant(u.Name) && slices.ContainsFunc(spellings, func(s string) bool { return same(s, known) }) {
					return u.Name
				}
			}
		}
	}
	return ""
}

// isConstant reports whether a unit is a constant; temperatures with an offset are read by functions.
func (f *Front) isConstant(unit string) bool {
	pkg, err := f.importer.Import(f.quantities.Package)
	if err != nil {
		return false
	}
	_, ok := pkg.Scope().Lookup(unit).(*types.Const)
	return ok
}

// nearest returns the names that differ least from a wrong one, if that is little.
func nearest(wrong string, names []string) []string {
	limit := 1 + len(wrong)/5
	if len(wrong) < 3 {
		limit = 0
	}
	best := map[string]int{}
	for _, n := range names {
		d := distance(strings.ToLower(wrong), strings.ToLower(n))
		if d <= limit && n != wrong && n != "_" {
			best[n] = d
		}
	}
	found := slices.SortedFunc(maps.Keys(best), func(a, b string) int { return cmp.Or(cmp.Compare(best[a], best[b]), cmp.Compare(a, b)) })
	found = slices.DeleteFunc(found, func(n string) bool { return best[n] > best[found[0]] })
	return found[:min(len(found), maxNear)]
}

// distance counts the letters that have to be put in, taken out, changed or swapped with their neighbour.
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	rows := [3][]int{make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(x); i++ {
		before, last, row := rows[(i+1)%3], rows[(i+2)%3], rows[i%3]
		row[0] = i
		for j := 1; j <= len(y); j++ {
			change := 1
			if x[i-1] == y[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
	}
	return rows[len(x)%3][len(y)]
}

func didYouMean(names []string) string {
	switch len(names) {
	case 0:
		return ""
	case 1:
		return "; did you mean " + names[0] + "?"
	}
	last := len(names) - 1
	return "; did you mean " + strings.Join(names[:last], ", ") + " or " + names[last] + "?"
}

// atoi reads a number out of a message.
func atoi(digits string) int {
	n, _ := strconv.Atoi(digits)
	return n
}

var numerals = []string{"none", "one", "two", "three", "four", "five", "six"}

func count(n int) string {
	if n < len(numerals) {
		return numerals[n]
	}
	return strconv.Itoa(n)
}

func countOf(n int, what string) string {
	switch n {
	case 0:
		return "no " + what + "s"
	case 1:
		return "one " + what
	}
	return count(n) + " " + what + "s"
}
