package dimension

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"strings"
)

// Slips finds two mistakes that every beginner makes: a division of whole numbers that loses its remainder where a float is meant, and ^ for a power.
// It needs no code without type errors: where ^ stands between floats, go/types complains as well, less helpfully.
func Slips(info *types.Info, nodes ...ast.Node) []Finding {
	var found []Finding
	for _, n := range nodes {
		ast.Inspect(n, func(n ast.Node) bool {
			e, ok := n.(*ast.BinaryExpr)
			if !ok {
				return true
			}
			message := ""
			switch e.Op {
			case token.QUO:
				message = truncation(info, e)
			case token.XOR:
				message = caret(info, e)
			}
			if message != "" {
				found = append(found, Finding{Pos: e.Pos(), End: e.End(), Severity: Error, Message: message})
			}
			return true
		})
	}
	return found
}

// truncation explains a constant quotient of whole numbers that is used as a float and not whole.
func truncation(info *types.Info, e *ast.BinaryExpr) string {
	tv := info.Types[e]
	if tv.Value == nil || tv.Type == nil || !isFloat(tv.Type) || !isWhole(info, e.X) || !isWhole(info, e.Y) {
		return ""
	}
	x, y := constant.ToInt(info.Types[e.X].Value), constant.ToInt(info.Types[e.Y].Value)
	if x.Kind() != constant.Int || y.Kind() != constant.Int || constant.Sign(y) == 0 || constant.Sign(constant.BinaryOp(x, token.REM, y)) == 0 {
		return ""
	}
	text := types.ExprString(e)
	return fmt.Sprintf("%s divides whole numbers and gives %s: write %s", text, constant.BinaryOp(x, token.QUO_ASSIGN, y), withPoint(e))
}

// withPoint writes a quotient so that it is one of floats.
func withPoint(e *ast.BinaryExpr) string {
	if lit, ok := ast.Unparen(e.X).(*ast.BasicLit); ok {
		return lit.Value + ".0/" + types.ExprString(e.Y)
	}
	return "float64(" + types.ExprString(e.X) + ")/" + types.ExprString(e.Y)
}

// isWhole reports whether an expression is one of whole numbers before it becomes a float.
func isWhole(info *types.Info, e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.BasicLit:
		return e.Kind == token.INT
	case *ast.ParenExpr:
		return isWhole(info, e.X)
	case *ast.UnaryExpr:
		return isWhole(info, e.X)
	case *ast.BinaryExpr:
		return isWhole(info, e.X) && isWhole(info, e.Y)
	case *ast.Ident:
		return isWholeConst(info.ObjectOf(e))
	case *ast.SelectorExpr:
		return isWholeConst(info.ObjectOf(e.Sel))
	}
	return false
}

func isWholeConst(o types.Object) bool {
	c, ok := o.(*types.Const)
	if !ok {
		return false
	}
	b, ok := underBasic(c.Type())
	return ok && b.Info()&types.IsInteger != 0
}

// caret explains an exclusive or that looks like a power: one of floats, or with a small decimal literal as exponent. Flipping the last bit with ^1,
// literals in hexadecimal and unsigned integers are meant as written.
func caret(info *types.Info, e *ast.BinaryExpr) string {
	float := false
	for _, x := range []ast.Expr{e.X, e.Y} {
		t := info.Types[x].Type
		float = float || t != nil && isFloat(t)
	}
	exponent, ok := ast.Unparen(e.Y).(*ast.BasicLit)
	if !float && (!ok || exponent.Kind != token.INT || strings.HasPrefix(exponent.Value, "0") || exponent.Value == "1" || len(exponent.Value) > 2) {
		return ""
	}
	if b, ok := underBasic(info.Types[e.X].Type); ok && b.Info()&types.IsUnsigned != 0 {
		return ""
	}
	x, y := types.ExprString(e.X), types.ExprString(e.Y)
	cure := "math.Pow(" + x + ", " + y + ")"
	if y == "2" {
		cure = x + "*" + x
		if _, simple := ast.Unparen(e.X).(*ast.BinaryExpr); simple {
			cure = "math.Pow(" + x + ", 2)"
		}
	}
	return fmt.Sprintf("%s ^ %s is no power in Go, ^ combines bits: write %s", x, y, cure)
}
