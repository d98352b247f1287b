package dimension

import (
	"cmp"
	"slices"
)

// term is a dimension that may not be known yet: a known one times powers of variables.
type term struct {
	dim  Dimension
	vars []factor // by number, without exponents of 0
}

type factor struct {
	v   *variable
	exp Rational
}

// variable is an unknown dimension. A soft one belongs to something declared as plain float64: if it cannot have one dimension, it dies instead of causing
// an error.
type variable struct {
	number int
	level  int // depth of the function that it is local to; above the present one it is general
	soft   bool
	dead   bool
	begun  bool // of a variable that began as 0: a bare number does not settle it
	bound  *term
	via    []*variable // soft ones that the bound value was learned from
}

func termOf(v *variable) term { return term{vars: []factor{{v, one}}} }

// times returns a bⁿ.
func (a term) times(b term, n Rational) term {
	if n.num == 0 {
		return a
	}
	out := term{dim: a.dim.times(b.dim, n)}
	i, j := 0, 0
	for i < len(a.vars) || j < len(b.vars) {
		switch {
		case j == len(b.vars) || i < len(a.vars) && a.vars[i].v.number < b.vars[j].v.number:
			out.vars = append(out.vars, a.vars[i])
			i++
		case i == len(a.vars) || a.vars[i].v.number > b.vars[j].v.number:
			out.vars = append(out.vars, factor{b.vars[j].v, b.vars[j].exp.times(n)})
			j++
		default:
			if e := a.vars[i].exp.plus(b.vars[j].exp.times(n)); e.num != 0 {
				out.vars = append(out.vars, factor{a.vars[i].v, e})
			}
			i++
			j++
		}
	}
	return out
}

// solver holds the variables of a session. The trail allows to take back what a refused cell has taught.
type solver struct {
	count int
	level int
	trail []undo
}

type undo struct {
	v   *variable
	was variable
}

func (s *solver) fresh(soft bool) *variable {
	s.count++
	return &variable{number: s.count, level: s.level, soft: soft}
}

// change notes the state of a variable before it changes.
func (s *solver) change(v *variable) { s.trail = append(s.trail, undo{v, *v}) }

func (s *solver) rollback(trail []undo) {
	for _, u := range slices.Backward(trail) {
		*u.v = u.was
	}
}

// resolve replaces the variables that are bound. It returns the soft ones that were met, and false if one of those it depends on is dead.
func (s *solver) resolve(t term) (out term, soft []*variable, ok bool) {
	out.dim = t.dim
	for _, f := range t.vars {
		v := f.v
		if v.dead {
			return out, nil, false
		}
		if v.soft {
			soft = append(soft, v)
		}
		if v.bound == nil {
			out = out.times(termOf(v), f.exp)
			continue
		}
		for _, via := range v.via {
			if via.dead {
				return out, nil, false
			}
		}
		b, more, ok := s.resolve(*v.bound)
		if !ok {
			return out, nil, false
		}
		out = out.times(b, f.exp)
		soft = append(append(soft, v.via...), more...)
	}
	return out, soft, true
}

// equal makes two dimensions one. It returns false if they are known and differ; where something soft is involved, that dies and the answer is true.
func (s *solver) equal(a, b term) bool {
	x, softX, okX := s.resolve(a)
	y, softY, okY := s.resolve(b)
	if !okX || !okY {
		return true
	}
	diff := x.times(y, Frac(-1, 1))
	soft := append(softX, softY...)
	if len(diff.vars) > 0 {
		s.solve(diff, soft)
		return true
	}
	if diff.dim == (Dimension{}) {
		return true
	}
	return s.give(a, b, append(soft, variablesOf(x, y)...))
}

// give lets the least die that makes a clash of a with b pass: what is soft in a, where b goes, or in b, or else all that the clash was learned from. An
// open variable may have cancelled, as in x = x*Foot. It returns false if there is nothing.
func (s *solver) give(a, b term, all []*variable) bool {
	for _, some := range [][]*variable{softOf(a), softOf(b), all} {
		for _, v := range some {
			s.change(v)
			v.dead = true
		}
		if len(some) > 0 {
			return true
		}
	}
	return false
}

func softOf(t term) []*variable {
	return slices.DeleteFunc(variablesOf(t), func(v *variable) bool { return !v.soft })
}

func variablesOf(terms ...term) []*variable {
	var out []*variable
	for _, t := range terms {
		for _, f := range t.vars {
			out = append(out, f.v)
		}
	}
	return out
}

// solve binds the newest variable of an equation "diff is 1".
func (s *solver) solve(diff term, soft []*variable) {
	f := slices.MaxFunc(diff.vars, func(a, b factor) int { return cmp.Compare(a.v.number, b.v.number) })
	rest := diff.times(termOf(f.v), f.exp.times(Frac(-1, 1)))
	value := term{}.times(rest, f.exp.inverse().times(Frac(-1, 1)))
	s.change(f.v)
	f.v.bound = &value
	for _, v := range soft {
		if v != f.v && v.bound != nil {
			f.v.via = append(f.v.via, v)
		}
	}
	for _, g := range value.vars {
		if g.v.level > f.v.level {
			s.change(g.v)
			g.v.level = f.v.level
		}
	}
}
