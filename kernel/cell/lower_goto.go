package cell

import (
	"go/ast"
	"go/token"
	"go/types"
)

// A block with labels that goto statements jump to becomes a loop over its parts: a variable says which part is to be run, and a jump sets it and goes on
// with the loop. The interpreter's own goto gets lost, and so may the interpreter when it compiles one.

// landing is where a goto statement jumps to.
type landing struct {
	part string // the variable that says which part of the block is to be run
	loop string // the label of the loop over the parts
	n    int
}

// breakable is a statement that break, and perhaps continue, may leave.
type breakable struct {
	label string
	loop  bool
}

// sequence lowers a list of statements, each by lower.
func (l *lowerer) sequence(list []ast.Stmt, lower func(ast.Stmt)) {
	parts := l.partition(list)
	if len(parts) == 1 {
		for _, s := range list {
			lower(s)
		}
		return
	}
	here := landing{part: l.fresh("part"), loop: l.fresh("parts")}
	l.landHere(parts, here)
	shared := l.hoist(list)
	l.emit("{") // a clause is no block to the interpreter, which finds labels in blocks only
	l.emit("%s := 0", here.part)
	l.emit("%s:", here.loop)
	l.emit("for {")
	l.stop()
	l.emit("switch {")
	for i, part := range parts {
		l.emit("case %s == %d:", here.part, i)
		for _, o := range shared {
			l.names[o] = l.fresh(o.Name())
			l.emit("%s := %s", l.names[o], l.hoisted[o])
		}
		for _, s := range part {
			lower(s)
		}
		if i < len(parts)-1 && !leaves(part) {
			l.emit("%s = %d", here.part, i+1)
			l.emit("continue %s", here.loop)
		}
	}
	l.emit("}")
	l.emit("break")
	l.emit("}")
	l.emit("}")
}

// leaves reports whether a list of statements ends in a jump.
func leaves(list []ast.Stmt) bool {
	if len(list) == 0 {
		return false
	}
	last := list[len(list)-1]
	for {
		labeled, ok := last.(*ast.LabeledStmt)
		if !ok {
			break
		}
		last = labeled.Stmt
	}
	switch last.(type) {
	case *ast.BranchStmt, *ast.ReturnStmt:
		return true
	}
	return false
}

// partition cuts a list of statements in front of the labels that goto statements jump to.
func (l *lowerer) partition(list []ast.Stmt) [][]ast.Stmt {
	parts := [][]ast.Stmt{nil}
	for _, s := range list {
		for _, label := range labelsOf(s) {
			if l.fn.gotos[label] {
				parts = append(parts, nil)
				break
			}
		}
		parts[len(parts)-1] = append(parts[len(parts)-1], s)
	}
	return parts
}

// labelsOf lists the labels in front of a statement.
func labelsOf(s ast.Stmt) (labels []string) {
	for {
		labeled, ok := s.(*ast.LabeledStmt)
		if !ok {
			return labels
		}
		labels, s = append(labels, labeled.Label.Name), labeled.Stmt
	}
}

// landHere notes where the labels of a block are.
func (l *lowerer) landHere(parts [][]ast.Stmt, at landing) {
	if l.fn.landings == nil {
		l.fn.landings = map[string]landing{}
	}
	for i, part := range parts[1:] {
		at.n = i + 1
		for _, label := range labelsOf(part[0]) {
			l.fn.landings[label] = at
		}
	}
}

// hoist declares the variables of a block in front of the loop that it becomes. It returns those that function literals capture: each part of the block has
// names of its own for these, so that what is captured is not what the next turn of the loop makes of the variable.
func (l *lowerer) hoist(list []ast.Stmt) (shared []types.Object) {
	for _, id := range declaredBy(list) {
		o, _ := l.info.Defs[id].(*types.Var)
		if o == nil || id.Name == "_" || l.isGlobal(o) {
			continue
		}
		delete(l.hoisted, o) // the function may have been lowered before, as a value
		l.declareLocal(o, l.zero(l.objectType(o)))
		l.hoisted[o] = l.local(o)
		if l.heap[o] {
			shared = append(shared, o)
		}
	}
	return shared
}

// gotoLabel lowers goto.
func (l *lowerer) gotoLabel(label string) {
	to := l.fn.landings[label]
	l.emit("%s = %d", to.part, to.n)
	l.emit("continue %s", to.loop)
}

// breakable gives a statement a label, if it is in a function with goto statements: loops stand around the parts of its blocks.
func (l *lowerer) breakable(s ast.Stmt, label string) (string, func()) {
	isLoop := false
	switch s.(type) {
	case *ast.ForStmt, *ast.RangeStmt:
		isLoop = true
	case *ast.SwitchStmt, *ast.TypeSwitchStmt, *ast.SelectStmt:
	default:
		return label, func() {}
	}
	if len(l.fn.gotos) == 0 {
		return label, func() {}
	}
	if label == "" {
		label = l.fresh("around")
	}
	l.fn.around = append(l.fn.around, breakable{label, isLoop})
	return label, func() { l.fn.around = l.fn.around[:len(l.fn.around)-1] }
}

// nearest returns the label of the statement that break or continue leaves, or nothing where there is no need for one.
func (l *lowerer) nearest(tok token.Token) string {
	for i := len(l.fn.around) - 1; i >= 0; i-- {
		if b := l.fn.around[i]; b.loop || tok == token.BREAK {
			return b.label
		}
	}
	return ""
}
