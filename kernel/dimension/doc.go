// Package dimension infers the physical dimension of every expression of Go code whose quantities are aliases of float64, and points out where
// dimensions do not fit: metres added to seconds, degrees where radians belong, a mass for a weight.
//
// A [Checker] holds what is known about the objects of a session. [Checker.Check] looks at one checked piece of code, a cell or a package, and returns a
// [Result]: the findings, and the quantity of each expression.
//
//	c := dimension.New(table)
//	r := c.Check(dimension.Source{Fset: fset, Info: info, Nodes: nodes})
//	r.Findings          // cell 3, line 5, column 1: m/s + m: a speed and a length cannot be added
//	r.Of(expr)          // {Kind: "Speed", Symbol: "m/s", …}
//
// # How dimensions are found
//
// A dimension is a product of rational powers of mass, length, time and temperature. An alias counts only where source writes it: parameter, result,
// field, typed variable, conversion, type of a literal, explicit type argument. go/types hands the alias of an operand on to results where it does not
// belong, so the type of a derived expression is never asked. All else is inferred by unification: what has no alias is a variable, each operation an
// equation between logarithms, which are linear and solved as they come. Functions are inferred once and are general in what they leave open, as in
// A. Kennedy, "Dimension types", ESOP 1994.
//
// What the source declares as plain float64 is soft: its dimension is inferred, but where two do not agree it has none and nothing is reported. A
// conversion to float64 forgets the dimension.
//
// [Checker.Package] looks at a whole package: what one function stores in a field of a struct is then known to all others.
//
// The checker has no list of quantities of its own: the caller gives a [Table]. The package imports nothing of this module.
package dimension
