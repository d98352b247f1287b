package notebook

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"unicode/utf8"
)

// SyntaxError is text that is not JSON. Line and Column count from 1, columns in bytes.
type SyntaxError struct {
	Line, Column int
	Err          error
}

func (e *SyntaxError) Error() string {
	return fmt.Sprintf("not a notebook: line %d, column %d: %v", e.Line, e.Column, e.Err)
}

func (e *SyntaxError) Unwrap() error { return e.Err }

// VersionError is a notebook in a version of the format that [Read] does not know.
type VersionError struct{ Major, Minor int }

func (e *VersionError) Error() string {
	cure := "it needs a newer version of this program"
	if e.Major < Major {
		cure = "open it in a notebook front end and save it again to convert it"
	}
	return fmt.Sprintf("the notebook is written in nbformat %d.%d, this program reads nbformat %d: %s", e.Major, e.Minor, Major, cure)
}

// FormatError is JSON that is not a valid notebook. Where names the place in words, such as `cell 3, output 1`; cells count from 1.
type FormatError struct{ Where, Problem string }

func (e *FormatError) Error() string {
	if e.Where == "" {
		return "not a valid notebook: " + e.Problem
	}
	return "not a valid notebook: " + e.Where + ": " + e.Problem
}

// ReadFile reads the notebook in a file. Errors about its contents are those of [Read] and do not name the file.
func ReadFile(path string) (*Document, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	return Parse(data)
}

// Read reads a notebook in any minor version of nbformat 4; cells of minor versions below 5, which know no cell ids, get ids made from their text.
// The errors are [*SyntaxError], [*VersionError] and [*FormatError].
func Read(r io.Reader) (*Document, error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	return Parse(data)
}

// Parse is [Read] for a notebook in memory.
func Parse(data []byte) (*Document, error) {
	tree, err := decode(bytes.TrimPrefix(data, []byte("\ufeff")))
	if err != nil {
		return nil, err
	}
	top, ok := tree.(Object)
	if !ok {
		return nil, &FormatError{Problem: "the file holds " + nature(tree) + " where a notebook is an object"}
	}
	return parseDocument(node{object: top})
}

// decode reads one JSON value and nothing behind it.
func decode(data []byte) (any, error) {
	if i := invalidUTF8(data); i >= 0 {
		return nil, syntaxError(data, int64(i), errors.New("bytes that are not UTF-8"))
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	var tree any
	if err := d.Decode(&tree); err != nil {
		return nil, jsonError(data, err)
	}
	if end := d.InputOffset(); len(bytes.TrimSpace(data[end:])) > 0 {
		rest := data[end:]
		start := end + int64(len(rest)-len(bytes.TrimLeft(rest, " \t\r\n")))
		return nil, syntaxError(data, start, errors.New("text behind the end of the notebook"))
	}
	return tree, nil
}

func invalidUTF8(data []byte) int {
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return -1
}

func jsonError(data []byte, err error) error {
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &syntax):
		return syntaxError(data, syntax.Offset-1, err) // Offset counts the offending byte
	case errors.Is(err, io.EOF):
		return syntaxError(data, int64(len(data)), errors.New("the file is empty"))
	case errors.Is(err, io.ErrUnexpectedEOF):
		return syntaxError(data, int64(len(data)), errors.New("the file ends in the middle"))
	}
	return err
}

// syntaxError places err at a byte offset.
func syntaxError(data []byte, offset int64, err error) error {
	before := data[:min(max(offset, 0), int64(len(data)))]
	return &SyntaxError{Line: 1 + bytes.Count(before, []byte("\n")), Column: len(before) - bytes.LastIndexByte(before, '\n'), Err: err}
}
