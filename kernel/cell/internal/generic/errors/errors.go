// Package errors has the generic functions of package errors of the standard library.
package errors

import "errors"

// AsType finds the first error in err's tree that matches the type E, and if one is found, returns that error value and true. Otherwise, it returns the
// zero value of E and false.
func AsType[E error](err error) (E, bool) {
	var target E
	if err == nil {
		return target, false
	}
	ok := errors.As(err, &target)
	return target, ok
}
