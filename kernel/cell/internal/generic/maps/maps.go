// Package maps replaces what package maps of the standard library does by means that cells do not have.
package maps

// Clone returns a copy of m. This is a shallow clone: the new keys and values are set using ordinary assignment.
func Clone[M ~map[K]V, K comparable, V any](m M) M {
	if m == nil {
		return nil
	}
	r := make(M, len(m))
	for k, v := range m {
		r[k] = v
	}
	return r
}
