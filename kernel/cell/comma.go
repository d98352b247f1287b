package cell

import (
	"go/ast"
	"go/token"
)

// commas finds lists in which some commas are followed by a blank and others stand between digits without one: 1,5 is two numbers in Go, and may be meant as
// one. It is a note, since Go's reading may be meant as well; where only one reading makes sense, the checker refuses the cell (see decimalCommaText).
func (f *Front) commas(c *checked) (notes []string) {
	for _, n := range c.nodes() {
		ast.Inspect(n, func(n ast.Node) bool {
			var list []ast.Expr
			switch n := n.(type) {
			case *ast.CompositeLit:
				list = n.Elts
			case *ast.CallExpr:
				list = n.Args
			}
			if at := suspicious(list); at != nil {
				p := problem{place: f.files.place(at.Pos()), message: "the comma between these digits parts two numbers; " + decimalCommaText}
				notes = append(notes, "note: "+p.String())
			}
			return true
		})
	}
	return notes
}

// suspicious returns the first element that the next one follows without a blank, if others are parted by blanks.
func suspicious(list []ast.Expr) (first ast.Expr) {
	parted := false
	for i := range len(list) - 1 {
		switch gap := list[i+1].Pos() - list[i].End(); {
		case gap > token.Pos(len(",")):
			parted = true
		case first == nil && isDigits(list[i]) && isDigits(list[i+1]):
			first = list[i]
		}
	}
	if !parted {
		return nil
	}
	return first
}

func isDigits(e ast.Expr) bool {
	if b, ok := e.(*ast.BinaryExpr); ok { // 3,5*Metre
		e = b.X
	}
	lit, ok := e.(*ast.BasicLit)
	return ok && lit.Kind == token.INT
}
