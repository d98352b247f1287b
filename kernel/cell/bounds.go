package cell

import (
	"fmt"
	"math"
	"reflect"
)

// boundsError is what compiled Go panics with if an index or a bound is out of range.
type boundsError struct{ runtimeError }

// unseen is one of which it is not known what it was: the interpreter's own.
type unseen struct{ runtimeError }

// badIndex panics as compiled Go does for an index, of whatever integer type, that is out of range.
func badIndex(i any, n int) {
	if i, ok := i.(int); ok && i < 0 {
		panic(boundsError{runtimeError(fmt.Sprintf("index out of range [%d]", i))})
	}
	panic(boundsError{runtimeError(fmt.Sprintf("index out of range [%d] with length %d", i, n))})
}

// unset stands for a bound of a slice expression that is not written.
const unset = math.MinInt

// bounds returns the bounds of x[i:j], or panics as compiled Go does; room is the capacity of a slice or the length of a string.
func bounds(i, j, length, room int, what string) (int, int) {
	if what = map[string]string{"cap": "capacity", "len": "length"}[what]; j == unset {
		j, room, what = length, length, "length"
		if i != unset && i > j {
			panic(outOfBounds("[%d:%d]", i, j))
		}
	}
	switch {
	case j < 0:
		panic(outOfBounds("[:%d]", j))
	case j > room:
		panic(outOfBounds("[:%d] with "+what+" %d", j, room))
	case i == unset:
		i = 0
	case i < 0:
		panic(outOfBounds("[%d:]", i))
	case i > j:
		panic(outOfBounds("[%d:%d]", i, j))
	}
	return i, j
}

// bounds3 checks the bounds of x[i:j:k] and returns the first.
func bounds3(i, j, k, room int) int {
	switch {
	case k < 0:
		panic(outOfBounds("[::%d]", k))
	case k > room:
		panic(outOfBounds("[::%d] with capacity %d", k, room))
	case j < 0:
		panic(outOfBounds("[:%d:]", j))
	case j > k:
		panic(outOfBounds("[:%d:%d]", j, k))
	case i == unset:
		return 0
	case i < 0:
		panic(outOfBounds("[%d::]", i))
	case i > j:
		panic(outOfBounds("[%d:%d:]", i, j))
	}
	return i
}

func outOfBounds(format string, args ...any) error {
	return boundsError{runtimeError(fmt.Sprintf("slice bounds out of range "+format, args...))}
}

// arrayPointer converts a slice to a pointer to an array, of the type of the pointer like, or panics as compiled Go does.
func arrayPointer(slice, like any) any {
	v, t := reflect.ValueOf(slice), reflect.TypeOf(like)
	if n := t.Elem().Len(); v.Len() < n {
		panic(runtimeError(fmt.Sprintf("cannot convert slice with length %d to array or pointer to array with length %d", v.Len(), n)))
	}
	return v.Convert(t).Interface()
}
