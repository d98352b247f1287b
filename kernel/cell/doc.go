// Package cell evaluates Go cells: split, check, lower, run, show.
//
// Its front half, [Front], lives in the supervisor and is pure data: it splits a cell ([split]), checks it with go/types in the scope of the session and
// lowers it to source that the interpreter gets right. Its back half, [Machine], holds the interpreter and lives in the worker. Between them goes a
// [Program] down and an [Outcome] up, both plain data. [NewEngine] ties a Front to a [Runner], which is a Machine or a process that holds one:
//
//	engine := cell.NewEngine(cell.NewFront(library), runner)
//	result := engine.Run(ctx, kernel.Cell{Code: "6 * 7", Number: 1}, out) // result.Value shows 42
//
// The promise of this package: a cell gives the result of the same program compiled by Go, or a clear refusal. It rests on the lowering, which leaves the
// interpreter a small part of the language: statements with every implicit conversion written out, constants folded, names unique, types reduced to
// their structure, interfaces reduced to values that carry the descriptor of their type.
package cell
