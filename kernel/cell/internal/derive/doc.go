// Package derive typesets what a cell computes: each assignment as symbol = formula = substitution = result.
//
// A [Builder] reads the syntax of a checked cell and makes [Equation] values of it, plain data that goes with the program to the worker. There they are put
// together with the values, and [Render] writes the [Derivation] as LaTeX and as plain text:
//
//	q := 0.5 * rho * V * V
//
//	q = 0.5 ρ V² = 0.5 · 1.007 kg/m³ · (48.9 m/s)² = 1203 Pa
//
// A [Node] is a formula: the same tree is written with symbols and with values, and evaluated for the propagation of uncertainty. What has no form among its
// kinds is shown as the code that it is, never as something near to it.
//
// # How names become symbols
//
// See [SymbolOf]. Briefly: Greek names become letters (alpha is α), what follows a letter as digits, with a capital, behind an underscore or as one of the
// trade's words is an index (rho0 is ρ₀, Vstall is V with the index stall, CLmax is C with the index L,max), bar, dot, hat and tilde at the end are accents,
// and any other name of several letters stands upright as it is. A comment
//
//	//foreplane:symbol V V_\infty
//
// gives a name another symbol, from its cell on.
package derive
