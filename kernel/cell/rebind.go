package cell

import (
	"fmt"
	"go/ast"
	"go/types"
	"maps"
	"slices"
)

// Names get their new meaning when the declaration has completed, and functions that depend on it with them: at the same step of the program, functions of
// the machine are replaced, and, once the program has run that far, the session changes.

// nameFunctions makes units for the functions of the cell and for those of earlier cells that depend on it.
func (l *lowerer) nameFunctions(c *checked) {
	for _, d := range c.functions {
		if d.object != nil && !isGeneric(d.object) {
			d.unit = l.newUnit(d.object.Name(), d.body.Signature(), l.unitOf(l.earlier(d)))
			l.names[d.object] = d.unit.name
		}
	}
	for _, r := range c.again {
		if r.old.unit != nil {
			r.new.unit = l.newUnit(r.new.object.Name(), r.new.body.Signature(), r.old.unit)
			l.names[r.new.object] = r.new.unit.name
		}
	}
}

// earlier finds the function that a function of the cell takes the place of, or nil.
func (l *lowerer) earlier(d *declaredFunc) *declaredFunc {
	if old := l.front.session.functions[d.object]; old != nil { // a method
		return old
	}
	old, _ := l.cell.replaced[d.object.Name()].(*types.Func)
	if old == nil || d.receiver() != nil {
		return nil
	}
	return l.front.session.functions[old]
}

func (l *lowerer) unitOf(d *declaredFunc) *unit {
	if d == nil {
		return nil
	}
	return d.unit
}

// lowerFunctions lowers them. Statements of the cell call those of earlier cells as they were until what these depend on is declared.
func (l *lowerer) lowerFunctions(c *checked) {
	for _, d := range c.functions {
		if d.unit != nil {
			l.body(d, d.unit)
		}
	}
	for _, r := range c.again {
		if r.new.unit != nil {
			l.lowerAs(r.new, r.new.unit, true)
		}
	}
	for _, r := range c.again {
		if r.new.object == r.old.object && c.steps[r.new.object] > 0 {
			delete(l.names, r.new.object)
		}
	}
}

// lowerAs lowers a function; what it can no longer be lowered for is its own fault if it replaces itself, and else that of the cell.
func (l *lowerer) lowerAs(d *declaredFunc, u *unit, replaces bool) {
	if d.broken != "" {
		l.failing(u, d.broken)
		return
	}
	lines, found := len(l.lines), len(l.found)
	l.body(d, u)
	if more := l.found[found:]; replaces && len(more) > 0 {
		d.broken = d.reason(l.cell.number, more)
		l.lines, l.found = l.lines[:lines], l.found[:found]
		l.failing(u, d.broken)
	}
}

// rebind plans what replaces functions of earlier cells.
func (l *lowerer) rebind(c *checked, p *Prepared) {
	p.pending = map[int][]func(*session){}
	for _, r := range c.again {
		l.replaceAgain(r, p)
	}
	for _, name := range sortedKeys(c.replaced) {
		switch old := c.replaced[name].(type) {
		case *types.Func:
			l.replaceFunction(l.front.session.functions[old], c.names[name], p)
		case *types.TypeName:
			l.freezeMethods(old, c.steps[c.names[name]], p)
		}
	}
	for _, d := range c.functions {
		if old := l.front.session.functions[d.object]; d.object != nil && old != nil {
			l.replaceMethod(old, d, p)
		}
	}
	for _, z := range l.front.session.frozen {
		if step, spoilt := l.spoil(z); spoilt {
			p.at(step, func(s *session) {
				s.frozen = slices.DeleteFunc(s.frozen, func(other *frozen) bool { return other == z })
			})
		}
	}
}

// at notes a change of the session at a step of the cell.
func (p *Prepared) at(step int, change func(*session)) {
	p.pending[step] = append(p.pending[step], change)
}

// replaceAgain puts a function that is checked again in its own place.
func (l *lowerer) replaceAgain(r *recheck, p *Prepared) {
	step := l.cell.steps[r.new.object]
	why := fmt.Sprintf("%s of cell %d has another type since cell %d: it must not be called as before", displayName(r.old.object), r.old.source.number, l.cell.number)
	if r.new.broken != "" {
		why = r.new.broken
	}
	if r.old.unit != nil {
		l.replace(step, r.old.unit, r.new.unit, why)
	}
	for _, i := range l.instancesOf(r.old.object) {
		if i.value && r.new.object != r.old.object {
			l.freeze(step, freeze(r.old, i.unit), p)
			l.forget(step, i, nil, p)
			continue
		}
		now := l.newInstance(r.new.object, i.args, i.value, i.unit)
		l.replace(step, i.unit, now.unit, why)
		l.forget(step, i, now, p)
	}
	p.at(step, func(s *session) {
		s.addFunction(r.new)
		if name := r.new.object.Name(); r.new.receiver() == nil {
			if s.names[name] == r.old.object {
				s.names[name] = r.new.object
			}
			s.declared[name] = r.new.object
		}
	})
}

// replaceFunction puts what the cell declares under a function's name in its place, if that has the same type.
func (l *lowerer) replaceFunction(old *declaredFunc, o types.Object, p *Prepared) {
	step := l.cell.steps[o]
	f, _ := o.(*types.Func)
	why := fmt.Sprintf("%s of cell %d is called here, and cell %d has declared that name again as something of another type", old.object.Name(), old.source.number, l.cell.number)
	var now *unit
	if f != nil {
		now = l.source(f).unit
	}
	if old.unit != nil {
		l.replace(step, old.unit, now, why)
	}
	for _, i := range l.instancesOf(old.object) {
		switch {
		case i.value:
			l.freeze(step, freeze(old, i.unit), p)
			l.forget(step, i, nil, p)
		case f != nil && l.accepts(f, i.args):
			j := l.newInstance(f, i.args, false, i.unit)
			l.replace(step, i.unit, j.unit, why)
			l.forget(step, i, j, p)
		default:
			l.replace(step, i.unit, nil, why)
			l.forget(step, i, nil, p)
		}
	}
	p.at(step, func(s *session) { delete(s.functions, old.object) })
}

// accepts reports whether a generic function can be instantiated with type arguments.
func (l *lowerer) accepts(f *types.Func, args []types.Type) bool {
	if f.Signature().TypeParams().Len() != len(args) {
		return false
	}
	_, err := types.Instantiate(l.front.session.context, f.Type(), args, true)
	return err == nil
}

// replaceMethod puts a method in the place of the one that an earlier cell has declared.
func (l *lowerer) replaceMethod(old, d *declaredFunc, p *Prepared) {
	step := l.cell.steps[d.object]
	if old.unit != nil {
		l.replace(step, old.unit, d.unit, "")
	}
	for _, i := range l.instancesOf(old.object) {
		if i.value {
			l.freeze(step, freeze(old, i.unit), p)
			l.forget(step, i, nil, p)
			continue
		}
		now := l.newInstance(d.object, i.args, false, i.unit)
		l.replace(step, i.unit, now.unit, "")
		l.forget(step, i, now, p)
	}
}

// freezeMethods leaves the methods of a type that is declared again to its values.
func (l *lowerer) freezeMethods(t *types.TypeName, step int, p *Prepared) {
	var methods []*declaredFunc
	for _, d := range l.front.session.functions {
		if d.receiver() == t {
			methods = append(methods, d)
		}
	}
	slices.SortFunc(methods, func(a, b *declaredFunc) int { return int(a.decl.Pos() - b.decl.Pos()) })
	for _, d := range methods {
		if d.unit != nil {
			l.freeze(step, freeze(d, d.unit), p)
		}
		for _, i := range l.instancesOf(d.object) {
			l.freeze(step, freeze(d, i.unit), p)
		}
	}
}

// freeze has the session remember frozen code, unless the cell spoils it.
func (l *lowerer) freeze(step int, z *frozen, p *Prepared) {
	if _, spoilt := l.spoil(z); !spoilt {
		p.at(step, func(s *session) { s.frozen = append(s.frozen, z) })
	}
}

// instancesOf lists the instances of a function that earlier cells have used.
func (l *lowerer) instancesOf(f *types.Func) []*instance {
	var out []*instance
	for _, i := range l.front.session.instances {
		if i.origin == f {
			out = append(out, i)
		}
	}
	return out
}

// forget has the session use another instance, or none, in place of one.
func (l *lowerer) forget(step int, old, now *instance, p *Prepared) {
	p.at(step, func(s *session) {
		s.instances = slices.DeleteFunc(s.instances, func(i *instance) bool { return i == old })
		if now != nil {
			s.instances = append(s.instances, now)
		}
	})
}

// complete emits what is done when a statement, or at step 0 the start, of the cell is through: the variables that it declares are there, and with them
// perhaps other declarations that need them.
func (l *lowerer) complete(step int, variables []*ast.Ident, p *Prepared) {
	c, before := l.cell, len(l.program.Binds)
	for _, id := range variables {
		if o := l.info.Defs[id]; o != nil && id.Name != "_" {
			l.bind(p, id.Name, o)
		}
	}
	for _, name := range sortedKeys(c.names) {
		if _, isVar := c.names[name].(*types.Var); c.steps[c.names[name]] == step && !(isVar && step > 0) {
			l.bind(p, name, c.names[name])
		}
	}
	for _, d := range c.functions {
		if d.object != nil && c.steps[d.object] == step {
			p.commit(l, func(s *session) { s.addFunction(d) })
		}
	}
	for _, r := range c.again {
		if r.new.unit != nil && c.steps[r.new.object] == step {
			l.names[r.new.object] = r.new.unit.name
		}
	}
	for _, change := range p.pending[step] {
		p.commit(l, change)
	}
	if spent := l.spent[step]; len(spent) > 0 {
		p.commit(l, func(s *session) { s.spent = append(s.spent, spent...) })
	}
	if step == 0 {
		return // the setup does it
	}
	for _, line := range l.moves[step] {
		l.emit("%s", line)
	}
	if n := len(l.program.Binds); n > before {
		l.emit("%s = %d", progressName, n)
	}
}

// bind notes that the next step of progress gives name its new meaning.
func (l *lowerer) bind(p *Prepared, name string, o types.Object) {
	slot := l.names[o]
	_, variable := o.(*types.Var)
	l.program.Binds = append(l.program.Binds, Bind{name, slot, variable})
	p.commit(l, func(s *session) {
		s.names[name] = o
		if isDeclared(o) {
			s.declared[name] = o
		}
		if slot != "" {
			s.slots[o] = slot
		}
	})
}

// commit notes what changes with the binds so far.
func (p *Prepared) commit(l *lowerer, change func(*session)) {
	p.commits = append(p.commits, commit{len(l.program.Binds), change})
}

// addFunction makes a function known that can be called from now on.
func (s *session) addFunction(d *declaredFunc) {
	s.functions[d.object] = d
	delete(s.ghosts, d.object)
	if d.unit != nil {
		s.slots[d.object] = d.unit.name
	}
}

// remember notes what the session knows as soon as the program is compiled.
func (l *lowerer) remember(p *Prepared) {
	p.commits = append(p.commits, commit{0, func(s *session) {
		for _, i := range l.instances {
			if !i.replaces {
				s.instances = append(s.instances, i)
			}
		}
		s.frozen = append(s.frozen, l.frozen...)
		maps.Copy(s.registered, p.registered)
	}})
}
