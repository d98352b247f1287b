package symbols

import (
	"bytes"
	"go/token"
	"go/types"
	"reflect"
	"strings"
	"sync"
	"testing"

	"golang.org/x/tools/go/gcexportdata"
)

// typesOf reads all type data into one universe, as the checker does.
func typesOf(t *testing.T) map[string]*types.Package {
	t.Helper()
	fset, pkgs := token.NewFileSet(), map[string]*types.Package{}
	for _, path := range Library.Paths() {
		data, ok := Library.ExportData(path)
		if !ok {
			t.Fatalf("%s: no type data", path)
		}
		if _, err := gcexportdata.Read(bytes.NewReader(data), fset, pkgs, path); err != nil {
			t.Fatalf("%s: %v", path, err)
		}
	}
	return pkgs
}

// TestTablesAgreeWithTypes holds the three generated parts together: what the checker accepts and Has promises is what the interpreter is given.
func TestTablesAgreeWithTypes(t *testing.T) {
	pkgs := typesOf(t)
	for _, path := range Library.Paths() {
		values, scope := Library.Values(path), pkgs[path].Scope()
		for _, name := range scope.Names() {
			obj, v := scope.Lookup(name), values[name]
			if _, isConst := obj.(*types.Const); !obj.Exported() || isConst {
				continue
			}
			if Library.Has(path, name) != v.IsValid() {
				t.Errorf("%s.%s: Has says %v, the table has %v", path, name, Library.Has(path, name), v.IsValid())
			}
			if v.IsValid() && !fits(obj, v) {
				t.Errorf("%s: table has %s", obj, v.Type())
			}
		}
		for name, v := range values {
			checkWrapper(t, path, name, v, values)
			if !strings.HasPrefix(name, "_") && scope.Lookup(name) == nil {
				t.Errorf("%s.%s is unknown to the checker", path, name)
			}
		}
	}
}

// fits reports whether a table's value has the form that its object calls for.
func fits(obj types.Object, v reflect.Value) bool {
	switch obj := obj.(type) {
	case *types.Func:
		return v.Kind() == reflect.Func && v.Type().NumIn() == obj.Signature().Params().Len() && v.Type().NumOut() == obj.Signature().Results().Len()
	case *types.Var:
		return v.CanSet()
	case *types.TypeName:
		return v.Kind() == reflect.Pointer && v.IsNil()
	}
	return false
}

// checkWrapper verifies that _Name satisfies the interface Name, and has IValue and one function a method.
func checkWrapper(t *testing.T, path, name string, v reflect.Value, values map[string]reflect.Value) {
	iface, isWrapper := strings.CutPrefix(name, "_")
	if !isWrapper {
		return
	}
	w, i := v.Type().Elem(), values[iface].Type().Elem()
	if !w.Implements(i) || w.NumField() != 1+i.NumMethod() || w.Field(0).Name != "IValue" {
		t.Errorf("%s.%s does not wrap %s", path, name, i)
	}
	for m := range i.NumMethod() {
		if f, ok := w.FieldByName("W" + i.Method(m).Name); !ok || f.Type != i.Method(m).Type {
			t.Errorf("%s.%s lacks W%s %s", path, name, i.Method(m).Name, i.Method(m).Type)
		}
	}
}

func TestHas(t *testing.T) {
	for _, c := range []struct {
		path, name string
		want       bool
	}{
		{"math", "Sqrt", true},
		{"math", "Pi", true}, // a constant: folded, so it needs no value
		{"math", "Sqr", false},
		{"math", "Sin Sincos", false}, // neighbours in the list
		{"math", "", false},
		{"strings", "Lines", true},  // Go 1.24
		{"slices", "Max", false},    // generic
		{"cmp", "Ordered", false},   // a constraint
		{"unsafe", "Sizeof", false}, // not on offer
		{"gonum.org/v1/gonum/mat", "NewDense", true},
		{"foreplane/kernel/display", "Bundle", true},
	} {
		if got := Library.Has(c.path, c.name); got != c.want {
			t.Errorf("Has(%q, %q) = %v", c.path, c.name, got)
		}
	}
}

func TestValuesWork(t *testing.T) {
	sqrt := Library.Values("math")["Sqrt"].Interface().(func(float64) float64)
	if got := sqrt(9); got != 3 {
		t.Errorf("math.Sqrt(9) = %v", got)
	}
	if Library.Values("no/such") != nil {
		t.Error("an unknown package has values")
	}
	w := Library.Values("fmt")["_Stringer"].Type().Elem()
	if got := reflect.New(w).Elem().Interface().(interface{ String() string }).String(); got != "" {
		t.Errorf("an empty Stringer wrapper gives %q", got)
	}
}

func TestDoc(t *testing.T) {
	for _, c := range []struct{ path, name, want string }{
		{"math", "", "Package math provides basic constants and mathematical functions."},
		{"math", "Sqrt", "Sqrt returns the square root of x."},
		{"math", "MaxInt64", "9223372036854775807"},
		{"strings", "Builder.WriteString", "WriteString appends the contents of s"},
		{"net/http", "Request.Method", "Method specifies the HTTP method"},
		{"io", "Reader.Read", ""},                                 // documented at the type
		{"gonum.org/v1/gonum/integrate/quad", "Fixed", "\n\tint"}, // an equation keeps its indentation
		{"foreplane/aerolib", "", "x aft, y to starboard, z up"},
		{"no/such", "Name", ""},
	} {
		if got := Library.Doc(c.path, c.name); !strings.Contains(got, c.want) {
			t.Errorf("Doc(%q, %q) = %q, want %q in it", c.path, c.name, got, c.want)
		}
	}
}

// TestConcurrentUse runs under -race: the supervisor asks from several goroutines.
func TestConcurrentUse(t *testing.T) {
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for _, path := range []string{"fmt", "os", "gonum.org/v1/gonum/mat"} {
				Library.ExportData(path)
				Library.Doc(path, "")
				Library.Has(path, "X")
			}
		})
	}
	wg.Wait()
}
