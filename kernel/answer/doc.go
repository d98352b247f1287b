// Package answer judges what a student answers to a question of an assignment, in plain words and without giving the value away.
//
// A [Record] is what is expected: a value in SI with its unit, a tolerance, and pitfalls, which are values that a known mistake leads to. [Record.Seal] writes it
// into the text of an answer cell, in a form that keeps it from being read by chance and from nobody who wants to: this is for practice. [Record.Judge] compares a
// [Given] with it:
//
//	r := answer.Record{Value: 48.87, Symbol: "m/s", Tolerance: 0.01}
//	r.Judge(answer.Given{Value: 95, Symbol: "m/s"}, units) // "This is the number in kt, given as m/s."
//
// The package knows no units: the caller gives [Units].
package answer
