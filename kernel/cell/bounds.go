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

// bound is a bound of a slice expression. If it is wide, v holds the bits of an unsigned number.
type bound struct {
	v    int
	wide bool
}

func (b bound) isSet() bool    { return b.wide || b.v != unset }
func (b bound) negative() bool { return !b.wide && b.v < 0 }

func (b bound) above(n int) bool {
	if b.wide {
		return uint64(b.v) > uint64(n)
	}
	return b.v > n
}

// value is the bound as a number to print.
func (b bound) value() any {
	if b.wide {
		return uint64(b.v)
	}
	return b.v
}

// measures says in a panic what has set the limit.
var measures = map[string]string{"cap": "capacity", "len": "length"}

// bounds returns the bounds of x[i:j], or panics as compiled Go does; room is the capacity of a slice or the length of a string or an array. The bits of wide tell which
// bounds are unsigned.
func bounds(i, j, length, room int, what string, wide int) (int, int) {
	low, high := bound{i, wide&1 != 0}, bound{j, wide&2 != 0}
	if !high.isSet() {
		high, room, what = bound{v: length}, length, "len"
	}
	switch {
	case high.negative():
		panic(outOfBounds("[:%d]", high.value()))
	case high.above(room):
		panic(outOfBounds("[:%d] with "+measures[what]+" %d", high.value(), room))
	case !low.isSet():
		return 0, high.v
	case low.negative():
		panic(outOfBounds("[%d:]", low.value()))
	case low.above(high.v):
		panic(outOfBounds("[%d:%d]", low.value(), high.v))
	}
	return low.v, high.v
}

// bounds3 checks the bounds of x[i:j:k] and returns the first.
func bounds3(i, j, k, room int, what string, wide int) int {
	low, high, most := bound{i, wide&1 != 0}, bound{j, wide&2 != 0}, bound{k, wide&4 != 0}
	switch {
	case most.negative():
		panic(outOfBounds("[::%d]", most.value()))
	case most.above(room):
		panic(outOfBounds("[::%d] with "+measures[what]+" %d", most.value(), room))
	case high.negative():
		panic(outOfBounds("[:%d:]", high.value()))
	case high.above(most.v):
		panic(outOfBounds("[:%d:%d]", high.value(), most.v))
	case !low.isSet():
		return 0
	case low.negative():
		panic(outOfBounds("[%d::]", low.value()))
	case low.above(high.v):
		panic(outOfBounds("[%d:%d:]", low.value(), high.v))
	}
	return low.v
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
