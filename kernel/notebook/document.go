package notebook

import (
	"fmt"
	"slices"
)

// Major and Minor are the format version that is written.
const (
	Major = 4
	Minor = 5
)

// Object is a JSON object as decoded: values are string, bool, nil, [encoding/json.Number], []any or Object's underlying map.
type Object = map[string]any

// Document is a notebook.
type Document struct {
	Cells    []Cell
	Metadata Object
	Minor    int    // at least 5; a later minor version is kept
	Extra    Object // top-level keys this version does not know
}

// Kind tells what a cell holds.
type Kind string

// The kinds of cells.
const (
	Code     Kind = "code"
	Markdown Kind = "markdown"
	Raw      Kind = "raw"
)

// Cell is one cell of a notebook.
type Cell struct {
	ID          string
	Kind        Kind
	Source      string
	Metadata    Object
	Attachments map[string]Object // of markdown and raw cells: MIME bundles by file name
	Outputs     []Output          // of code cells
	Count       int               // execution count of a code cell, 0 if it was not run
	Extra       Object
}

// Output is one output of a code cell. Which fields count depends on Type.
type Output struct {
	Type      OutputType
	Name      string   // stream: stdout or stderr
	Text      string   // stream
	Data      Object   // display, result: representations by MIME type
	Metadata  Object   // display, result
	Count     int      // result: execution count
	ErrorName string   // error
	Message   string   // error
	Traceback []string // error
	Extra     Object
}

// OutputType tells what an output is.
type OutputType string

// The types of outputs.
const (
	Stream  OutputType = "stream"
	Display OutputType = "display_data"
	Result  OutputType = "execute_result"
	Failure OutputType = "error"
)

// HasTag reports whether the cell's metadata carries the tag.
func (c *Cell) HasTag(tag string) bool {
	tags, _ := c.Metadata["tags"].([]any)
	return slices.Contains(tags, any(tag))
}

// Language returns the programming language of the notebook's code cells in lower case, or "" if the notebook does not say.
func (d *Document) Language() string {
	for _, path := range [][2]string{{"kernelspec", "language"}, {"language_info", "name"}} {
		object, _ := d.Metadata[path[0]].(Object)
		if name, _ := object[path[1]].(string); name != "" {
			return lower(name)
		}
	}
	return ""
}

// RequireGo refuses a notebook that says it is written in another language than Go.
func (d *Document) RequireGo() error {
	if name := d.Language(); name != "" && name != "go" {
		return &LanguageError{Language: name}
	}
	return nil
}

// LanguageError refuses a notebook whose code cells are not Go.
type LanguageError struct{ Language string }

func (e *LanguageError) Error() string {
	return fmt.Sprintf("the notebook's code is %q, not Go: its metadata says so under kernelspec or language_info", e.Language)
}
