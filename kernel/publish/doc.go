// Package publish turns a notebook into one readable page.
//
// [Page] writes a single HTML file that needs nothing but itself: no script, no request, the same bytes for the same notebook. It opens from a disk, reads
// well on a phone, on a projector, in the dark and on paper, and with a screen reader.
//
//	err := publish.Page(w, doc, publish.Options{Caution: true})
//
// On its way from a cell to the page all text passes the same doors:
//
//   - Markdown goes through goldmark, with formulas taken out first and typeset at their place (typesetter: KaTeX run by goja, at build time).
//   - Go is coloured by go/scanner.
//   - Whatever is HTML or SVG afterwards, from text cells and from outputs alike, goes through one allowlist (sanitizer) that knows no scripts, handlers,
//     forms, frames or addresses off the page. The page's content security policy is the second lock.
//
// The look is in style.css; katex/ holds KaTeX 0.19.1 (MIT) and its fonts (SIL Open Font License), unchanged, of which a page carries only what it uses.
package publish
