// Package symbols holds what cells can import: [Library] is one value with the paths, the type data for the checker, the documentation, and the
// interpreter's tables of every package on the list.
//
//	values := symbols.Library.Values("math") // values["Sqrt"] is math.Sqrt
//
// Nothing is built or decoded until it is asked for: the supervisor, which never asks for values, pays only for what it reads. The tables and archives are
// generated from the list in internal/generate; run go generate after a change of the library's API or comments.
package symbols

//go:generate go run ./internal/generate
