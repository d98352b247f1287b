package trim

import (
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"testing"
)

// TestMethodsApart: the files of either method use no function or type that the files of the other declare.
func TestMethodsApart(t *testing.T) {
	closed, meshed := []string{"closed.go", "system.go", "slope.go", "wash.go"}, []string{"lattice.go", "stream.go", "critical.go"}
	for _, pair := range [][2][]string{{closed, meshed}, {meshed, closed}} {
		var declared []string
		for _, name := range pair[0] {
			for _, d := range parsed(t, name).Decls {
				switch d := d.(type) {
				case *ast.FuncDecl:
					if d.Recv == nil {
						declared = append(declared, d.Name.Name)
					}
				case *ast.GenDecl:
					for _, s := range d.Specs {
						if s, ok := s.(*ast.TypeSpec); ok {
							declared = append(declared, s.Name.Name)
						}
					}
				}
			}
		}
		if len(declared) < 5 {
			t.Errorf("%v declare only %v", pair[0], declared)
		}
		for _, name := range pair[1] {
			ast.Inspect(parsed(t, name), func(n ast.Node) bool {
				if s, ok := n.(*ast.SelectorExpr); ok { // a name of another package
					_, own := s.X.(*ast.Ident)
					return !own
				}
				if id, ok := n.(*ast.Ident); ok && slices.Contains(declared, id.Name) && (id.Obj == nil || id.Obj.Kind == ast.Fun || id.Obj.Kind == ast.Typ) {
					t.Errorf("%s uses %s, which is of the other method", name, id.Name)
				}
				return true
			})
		}
	}
}

func parsed(t *testing.T, name string) *ast.File {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	return f
}
