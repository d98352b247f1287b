package cell

import (
	"cmp"
	"reflect"
	"slices"
)

// sortedMapKeys returns the keys of a map in the order in which fmt prints them.
func sortedMapKeys(m reflect.Value) []reflect.Value {
	keys := m.MapKeys()
	slices.SortStableFunc(keys, compareValues)
	return keys
}

func compareValues(a, b reflect.Value) int {
	switch a.Kind() {
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return cmp.Compare(a.Int(), b.Int())
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uintptr:
		return cmp.Compare(a.Uint(), b.Uint())
	case reflect.String:
		return cmp.Compare(a.String(), b.String())
	case reflect.Float32, reflect.Float64:
		return cmp.Compare(a.Float(), b.Float())
	case reflect.Complex64, reflect.Complex128:
		x, y := a.Complex(), b.Complex()
		return cmp.Or(cmp.Compare(real(x), real(y)), cmp.Compare(imag(x), imag(y)))
	case reflect.Bool:
		return cmp.Compare(boolRank(a.Bool()), boolRank(b.Bool()))
	case reflect.Pointer, reflect.Chan, reflect.UnsafePointer:
		return cmp.Compare(a.Pointer(), b.Pointer())
	case reflect.Struct:
		return compareParts(a, b, a.NumField(), reflect.Value.Field)
	case reflect.Array:
		return compareParts(a, b, a.Len(), reflect.Value.Index)
	case reflect.Interface:
		return compareInterfaces(a, b)
	}
	return 0
}

func boolRank(b bool) int {
	if b {
		return 1
	}
	return 0
}

func compareParts(a, b reflect.Value, n int, part func(reflect.Value, int) reflect.Value) int {
	for i := range n {
		if c := compareValues(part(a, i), part(b, i)); c != 0 {
			return c
		}
	}
	return 0
}

// compareInterfaces orders by type before it orders by value; boxes are ordered by the numbers of their types.
func compareInterfaces(a, b reflect.Value) int {
	if a.IsNil() || b.IsNil() {
		return cmp.Compare(boolRank(!a.IsNil()), boolRank(!b.IsNil()))
	}
	x, boxed := unbox(a.Interface())
	y, boxed2 := unbox(b.Interface())
	if boxed && boxed2 {
		if c := cmp.Compare(x.t.ID, y.t.ID); c != 0 {
			return c
		}
		return compareValues(reflect.ValueOf(x.V), reflect.ValueOf(y.V))
	}
	ta, tb := a.Elem().Type(), b.Elem().Type()
	if ta != tb {
		return cmp.Compare(reflect.ValueOf(ta).Pointer(), reflect.ValueOf(tb).Pointer())
	}
	return compareValues(a.Elem(), b.Elem())
}
