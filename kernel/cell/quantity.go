package cell

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"

	"foreplane/kernel/dimension"
)

// checkDimensions infers the dimensions of a checked cell. Notes do not keep it from running, and neither does a checker that stumbles.
func (f *Front) checkDimensions(c *checked) (notes []string, found problems) {
	defer func() {
		if r := recover(); r != nil {
			c.dims = f.dims.Check(dimension.Source{Info: newInfo()})
			notes, found = []string{fmt.Sprintf("note: the dimensions of cell %d are not checked: %v", c.number, r)}, nil
		}
	}()
	c.dims = f.dims.Check(dimension.Source{Fset: f.files.set, Info: c.info, Nodes: c.nodes(), Plain: hasDirective(c.text, "plain")})
	for _, d := range c.dims.Findings {
		p := f.finding(d)
		if d.Severity == dimension.Error {
			found = append(found, p)
		} else {
			notes = append(notes, "note: "+p.String())
		}
	}
	return notes, found
}

// redimensioned lists the variables that the cell declares again with the same type and another dimension. What earlier functions know of them, and print
// behind their values, no longer holds.
func (f *Front) redimensioned(c *checked) map[string]bool {
	other := map[string]bool{}
	for name, o := range c.names {
		v, isVar := o.(*types.Var)
		old, wasVar := f.session.names[name].(*types.Var)
		if !isVar || !wasVar || !types.Identical(old.Type(), v.Type()) {
			continue
		}
		was, known := f.dims.Object(old)
		if is, _ := f.dims.Object(v); known && symbol(was) != symbol(is) {
			other[name] = true
		}
	}
	return other
}

func (f *Front) finding(d dimension.Finding) problem {
	return problem{place: f.files.place(d.Pos), message: d.Message}
}

// nodes are the parts of the cell in the order they run.
func (c *checked) nodes() []ast.Node {
	var out []ast.Node
	for _, d := range c.source.decls.Decls {
		if g, ok := d.(*ast.GenDecl); !ok || g.Tok != token.IMPORT {
			out = append(out, d)
		}
	}
	for _, s := range c.stmts {
		out = append(out, s)
	}
	if c.last != nil {
		out = append(out, c.last)
	}
	return out
}

// slips puts the two mistakes that the dimension checker explains in place of what go/types says about the same lines.
func (f *Front) slips(c *checked, found problems) problems {
	for _, s := range dimension.Slips(c.info, c.nodes()...) {
		p, end := f.finding(s), f.files.place(s.End)
		kept := problems{p}
		for _, other := range found {
			if !other.place.between(p.place, end) {
				kept = append(kept, other)
			}
		}
		found = kept
	}
	return found
}

// between reports whether a place of the same cell is one of those from start to before end.
func (p Place) between(start, end Place) bool {
	before := func(a, b Place) bool { return a.Line < b.Line || a.Line == b.Line && a.Column < b.Column }
	return !before(p, start) && before(p, end)
}
