// Package display turns values into MIME bundles: text always, and what the value can draw of itself beside it.
//
// [Of] is the one entry point for values. It asks a value for its renderings through one-method interfaces ([HTMLer], [LaTeXer], [Markdowner], [SVGer],
// [PNGer], [Texter], [Tabler], [AltTexter]), so a type of any package is shown well without importing this one:
//
//	b := display.Of(polar) // polar has SVG() ([]byte, error) and AltText() string: b holds text/plain and image/svg+xml
//
// The string types [HTML], [Markdown], [LaTeX], [SVG] and the wrapper [JSON] let a cell show a document it has written itself. Slices of structs, grids of
// floats and matrices become a [Table], which also stands on its own. What goes wrong while a value renders itself is told in the bundle's text.
package display
