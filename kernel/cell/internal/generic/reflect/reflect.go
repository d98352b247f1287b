// Package reflect has the generic functions of package reflect of the standard library.
package reflect

import "reflect"

// TypeFor returns the Type that represents the type argument T.
func TypeFor[T any]() reflect.Type { return reflect.TypeOf((*T)(nil)).Elem() }
