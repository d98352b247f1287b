package notebook

import (
	"bytes"
	"errors"
	"os"
	"reflect"
	"strings"
	"testing"
)

// TestReferenceBytes reads a notebook written by nbformat 5 for Python and writes the same bytes.
func TestReferenceBytes(t *testing.T) {
	data, err := os.ReadFile("testdata/reference.ipynb")
	if err != nil {
		t.Fatal(err)
	}
	doc, err := Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Format(doc)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, data) {
		t.Errorf("rewritten:\n%s", got)
	}
}

func TestParseReference(t *testing.T) {
	doc, err := ReadFile("testdata/reference.ipynb")
	if err != nil {
		t.Fatal(err)
	}
	if got := doc.Language(); got != "go" {
		t.Errorf("language is %q", got)
	}
	if got := doc.Cells[0].Attachments["plan.png"]["image/png"]; got != "iVBORw0KGgo=" {
		t.Errorf("attachment is %v", got)
	}
	code := doc.Cells[3]
	if code.Source != "h := 6500 * Foot\nprintln(h)\n" || code.Count != 3 || !code.HasTag("raises-exception") || code.HasTag("y") {
		t.Errorf("code cell is %+v", code)
	}
	want := []any{Stream, "1981.2\nmore", "<svg>\n<path/>\n</svg>", Result, "index out of range"}
	got := []any{code.Outputs[0].Type, code.Outputs[0].Text, code.Outputs[1].Data["image/svg+xml"], code.Outputs[2].Type, code.Outputs[3].Message}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("outputs are %v, want %v", got, want)
	}
}

const head = `"nbformat": 4, "nbformat_minor": 5, "metadata": {}`

func TestParseRefuses(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"empty", "", "not a notebook: line 1, column 1: the file is empty"},
		{"cut off", "{\n \"cells\": [", "not a notebook: line 2, column 12: the file ends in the middle"},
		{"syntax", "{\n \"cells\": [}", "not a notebook: line 2, column 12: invalid character '}' looking for beginning of value"},
		{"two values", "{} \n {}", "not a notebook: line 2, column 2: text behind the end of the notebook"},
		{"not UTF-8", "{\"a\": \"\xff\"}", "not a notebook: line 1, column 8: bytes that are not UTF-8"},
		{"list", "[]", "not a valid notebook: the file holds a list where a notebook is an object"},
		{"no version", `{"cells": []}`, "not a valid notebook: nbformat is missing"},
		{"version 3", `{"nbformat": 3, "nbformat_minor": 0, "worksheets": []}`,
			"the notebook is written in nbformat 3.0, this program reads nbformat 4: open it in a notebook front end and save it again to convert it"},
		{"version 5", `{"nbformat": 5, "nbformat_minor": 1}`, "the notebook is written in nbformat 5.1, this program reads nbformat 4: it needs a newer version of this program"},
		{"no cells", "{" + head + "}", "not a valid notebook: cells is missing"},
		{"cells of a wrong kind", "{" + head + `, "cells": {}}`, "not a valid notebook: cells is an object, not a list"},
		{"cell is no object", "{" + head + `, "cells": [3]}`, "not a valid notebook: cell 1: is the number 3, not an object"},
		{"no source", "{" + head + `, "cells": [{"cell_type": "raw"}]}`, "not a valid notebook: cell 1: source is missing"},
		{"source of a wrong kind", "{" + head + `, "cells": [{"cell_type": "raw", "source": ["a", 1]}]}`,
			"not a valid notebook: cell 1: source is a list, not a string or a list of strings"},
		{"unknown cell", "{" + head + `, "cells": [{"cell_type": "x", "source": ""}]}`, `not a valid notebook: cell 1: cell_type is "x"; known are code, markdown and raw`},
		{"bad id", "{" + head + `, "cells": [{"cell_type": "raw", "id": "a b", "source": ""}]}`,
			`not a valid notebook: cell 1: id is "a b"; an id has 1 to 64 letters, digits, - or _`},
		{"same id", "{" + head + `, "cells": [{"cell_type": "raw", "id": "a", "source": ""}, {"cell_type": "raw", "id": "a", "source": ""}]}`,
			`not a valid notebook: cell 2: id "a" is also the id of cell 1`},
		{"unknown output", "{" + head + `, "cells": [{"cell_type": "code", "source": "", "outputs": [{"output_type": "pyout"}]}]}`,
			`not a valid notebook: cell 1, output 1: output_type is "pyout"; known are stream, display_data, execute_result and error`},
		{"count", "{" + head + `, "cells": [{"cell_type": "code", "source": "", "execution_count": 1.5}]}`,
			"not a valid notebook: cell 1: execution_count is the number 1.5, not a whole number from 0 up"},
		{"traceback", "{" + head + `, "cells": [{"cell_type": "code", "source": "", "outputs": [{"output_type": "error", "ename": "", "evalue": "", "traceback": [null]}]}]}`,
			"not a valid notebook: cell 1, output 1: line 1 of the traceback is null, not a string"},
		{"data", "{" + head + `, "cells": [{"cell_type": "code", "source": "", "outputs": [{"output_type": "display_data", "data": {"text/plain": 1}}]}]}`,
			"not a valid notebook: cell 1, output 1: data text/plain is the number 1, not a string or a list of strings"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := Parse([]byte(test.in))
			if err == nil || err.Error() != test.want {
				t.Errorf("got  %v\nwant %s", err, test.want)
			}
		})
	}
}

func TestUpgrade(t *testing.T) {
	const old = "\ufeff" + `{"nbformat": 4, "nbformat_minor": 2, "cells": [
		{"cell_type": "markdown", "source": ["# A\n", "b"]},
		{"cell_type": "code", "source": "x", "outputs": [], "execution_count": null, "metadata": {}, "stray": 1},
		{"cell_type": "code", "source": "x"}], "$schema": "s"}`
	doc, err := Parse([]byte(old))
	if err != nil {
		t.Fatal(err)
	}
	ids := []string{doc.Cells[0].ID, doc.Cells[1].ID, doc.Cells[2].ID}
	if want := []string{"2069199f", "5ee679b1", "054803d3"}; !reflect.DeepEqual(ids, want) {
		t.Errorf("ids are %q, want the ids of an earlier run, %q", ids, want)
	}
	if doc.Minor != 5 || doc.Extra["$schema"] != "s" || doc.Cells[1].Extra == nil || doc.Metadata == nil {
		t.Errorf("upgraded to %+v", doc)
	}
	again := roundTrip(t, doc)
	if !reflect.DeepEqual(again, doc) {
		t.Errorf("got %+v\nwant %+v", again, doc)
	}
}

func TestLaterMinorVersionIsKept(t *testing.T) {
	doc, err := Parse([]byte(`{"nbformat": 4, "nbformat_minor": 7, "metadata": {}, "cells": []}`))
	if err != nil {
		t.Fatal(err)
	}
	if again := roundTrip(t, doc); again.Minor != 7 {
		t.Errorf("nbformat_minor 7 became %d", again.Minor)
	}
}

func TestFormatRefuses(t *testing.T) {
	function := Object{"x": func() {}}
	for _, doc := range []*Document{{Cells: []Cell{{Kind: Code, ID: "a b"}}}, {Cells: []Cell{{Kind: Code}}}, {Cells: []Cell{{Kind: "x", ID: "a"}}}, {Metadata: function}} {
		if _, err := Format(doc); !errors.As(err, new(*FormatError)) {
			t.Errorf("%+v is written, error %v", doc, err)
		}
	}
}

func TestRequireGo(t *testing.T) {
	tests := []struct {
		metadata Object
		want     string
	}{
		{nil, ""},
		{Object{"kernelspec": Object{"name": "foreplane", "language": "Go"}}, ""},
		{Object{"language_info": Object{"name": "python"}}, `"python"`},
		{Object{"kernelspec": Object{"language": "R"}, "language_info": Object{"name": "go"}}, `"r"`},
		{Object{"kernelspec": "damaged"}, ""},
	}
	for _, test := range tests {
		err := (&Document{Metadata: test.metadata}).RequireGo()
		if (err == nil) != (test.want == "") || err != nil && !strings.Contains(err.Error(), test.want) {
			t.Errorf("%v: %v", test.metadata, err)
		}
	}
}

func roundTrip(t *testing.T, doc *Document) *Document {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, doc); err != nil {
		t.Fatal(err)
	}
	again, err := Read(&b)
	if err != nil {
		t.Fatal(err)
	}
	return again
}

// FuzzParse holds that whatever can be read is written back, reads as the same document, and is written the same way again.
func FuzzParse(f *testing.F) {
	reference, err := os.ReadFile("testdata/reference.ipynb")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(reference)
	f.Add([]byte(`{"nbformat": 4, "nbformat_minor": 1, "cells": [{"cell_type": "raw", "source": ["a\r", "\n\n"]}]}`))
	f.Add([]byte(`{"nbformat": 3}`))
	f.Add([]byte("{" + head + `, "cells": [{"cell_type": "code", "source": "", "execution_count": 0, "outputs": [{"output_type": "stream", "name": "stdout", "text": []}]}]}`))
	f.Add([]byte(`[1e999, "\ud800", {"a": null}]`))
	f.Fuzz(func(t *testing.T, data []byte) {
		doc, err := Parse(data)
		if err != nil {
			return
		}
		first, err := Format(doc)
		if err != nil {
			t.Fatalf("read but not written: %v", err)
		}
		again, err := Parse(first)
		if err != nil {
			t.Fatalf("written but not read: %v", err)
		}
		if !reflect.DeepEqual(again, doc) {
			t.Fatalf("read as %+v, then as %+v", doc, again)
		}
		if second, _ := Format(again); !bytes.Equal(first, second) {
			t.Fatalf("written as %s, then as %s", first, second)
		}
	})
}
