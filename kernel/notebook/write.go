package notebook

import (
	"bytes"
	"encoding/json"
	"io"
	"maps"
	"strings"
)

// WriteFile writes the notebook to a file, as a whole or not at all.
func WriteFile(path string, d *Document) error {
	data, err := Format(d)
	if err != nil {
		return err
	}
	return Save(path, data)
}

// Write writes the notebook.
func Write(w io.Writer, d *Document) error {
	data, err := Format(d)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}

// Format returns the bytes of the notebook's file. It refuses a document that [Parse] would refuse, and NaN in metadata.
func Format(d *Document) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(d.tree()); err != nil {
		return nil, &FormatError{Problem: err.Error()}
	}
	if _, err := Parse(b.Bytes()); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// The trees below are maps, whose keys encoding/json sorts.

func (d *Document) tree() Object {
	cells := make([]any, len(d.Cells))
	for i := range d.Cells {
		cells[i] = d.Cells[i].tree()
	}
	return extend(d.Extra, Object{"cells": cells, "metadata": object(d.Metadata), "nbformat": Major, "nbformat_minor": max(d.Minor, Minor)})
}

func (c *Cell) tree() Object {
	tree := Object{"cell_type": c.Kind, "id": c.ID, "metadata": object(c.Metadata), "source": lines(c.Source)}
	if c.Kind == Code {
		outputs := make([]any, len(c.Outputs))
		for i := range c.Outputs {
			outputs[i] = c.Outputs[i].tree()
		}
		tree["outputs"], tree["execution_count"] = outputs, count(c.Count)
	} else if c.Attachments != nil {
		attachments := Object{}
		for name, bundle := range c.Attachments {
			attachments[name] = bundleTree(bundle)
		}
		tree["attachments"] = attachments
	}
	return extend(c.Extra, tree)
}

func (o *Output) tree() Object {
	tree := Object{"output_type": o.Type}
	switch o.Type {
	case Stream:
		tree["name"], tree["text"] = o.Name, lines(o.Text)
	case Display, Result:
		tree["data"], tree["metadata"] = bundleTree(o.Data), object(o.Metadata)
		if o.Type == Result {
			tree["execution_count"] = count(o.Count)
		}
	case Failure:
		traceback := o.Traceback
		if traceback == nil {
			traceback = []string{}
		}
		tree["ename"], tree["evalue"], tree["traceback"] = o.ErrorName, o.Message, traceback
	}
	return extend(o.Extra, tree)
}

func extend(extra, known Object) Object {
	tree := maps.Clone(extra)
	if tree == nil {
		tree = Object{}
	}
	maps.Copy(tree, known)
	return tree
}

func object(o Object) Object {
	if o == nil {
		return Object{}
	}
	return o
}

// count writes an execution count, null for none.
func count(n int) any {
	if n == 0 {
		return nil
	}
	return n
}

// bundleTree splits the texts of a bundle into lines; images stay one string.
func bundleTree(bundle Object) Object {
	tree := Object{}
	for mime, v := range bundle {
		if s, ok := v.(string); ok && isText(mime) {
			tree[mime] = lines(s)
		} else {
			tree[mime] = v
		}
	}
	return tree
}

func isText(mime string) bool {
	return strings.HasPrefix(mime, "text/") || mime == "image/svg+xml" || mime == "application/javascript"
}

// lines splits a text behind its newlines.
func lines(s string) []string {
	parts := strings.SplitAfter(s, "\n")
	if parts[len(parts)-1] == "" {
		parts = parts[:len(parts)-1]
	}
	return parts
}
