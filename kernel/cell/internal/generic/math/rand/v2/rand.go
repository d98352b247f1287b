// Package rand has the generic functions of package math/rand/v2 of the standard library.
package rand

import "math/rand/v2"

// N returns a pseudo-random number in the half-open interval [0,n) from the default source, for any integer type. It panics if n <= 0.
func N[Int ~int | ~int8 | ~int16 | ~int32 | ~int64 | ~uint | ~uint8 | ~uint16 | ~uint32 | ~uint64 | ~uintptr](n Int) Int {
	if n <= 0 {
		panic("invalid argument to N")
	}
	return Int(rand.Uint64N(uint64(n)))
}
