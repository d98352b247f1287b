// Package notebook reads, writes and runs notebook documents in nbformat 4.5.
//
// A [Document] is a list of [Cell], a code cell has [Output]. [Read] takes any nbformat 4 and says clearly what it cannot take; [Write] always writes the
// same bytes for the same document: keys sorted, one blank of indentation, texts as lists of lines, which is what the format's reference writes too.
// Metadata and keys this package does not know are kept. [Save] replaces a file as a whole or not at all.
//
//	doc, err := notebook.ReadFile("canard-trim.ipynb")
//	report, err := notebook.Run(ctx, doc, kernel, notebook.Options{})
//	err = notebook.WriteFile("canard-trim.out.ipynb", doc)
//
// Source: [nbformat] the notebook format's description and its schema for version 4.5.
package notebook
