package answer

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Record is what is expected of an answer.
type Record struct {
	Value     float64   `json:"value"`            // SI
	Symbol    string    `json:"symbol,omitempty"` // of its SI unit; empty for a pure number
	Kind      string    `json:"kind,omitempty"`   // the quantity, if that is certain
	Text      string    `json:"text,omitempty"`   // expected in place of a number
	Tolerance float64   `json:"tolerance"`        // relative to the value
	Pitfalls  []Pitfall `json:"pitfalls,omitempty"`
}

// Pitfall is a value that a mistake leads to.
type Pitfall struct {
	Value float64 `json:"value"`
	Hint  string  `json:"hint"` // what to tell who made it
}

// Object is the record as decoded JSON.
func (r Record) Object() map[string]any {
	var out map[string]any
	if data, err := json.Marshal(r); err == nil && json.Unmarshal(data, &out) == nil {
		return out
	}
	return nil
}

// FromObject is the record of a decoded JSON object.
func FromObject(o any) (r Record, err error) {
	data, err := json.Marshal(o)
	if err != nil {
		return r, err
	}
	return r, json.Unmarshal(data, &r)
}

// DefaultTolerance is how far an answer may be off, relative to the value, where the question does not say.
const DefaultTolerance = 0.01

// Seal returns the record as one word. It hides nothing from who wants to know.
func (r Record) Seal() (string, error) {
	if math.IsNaN(r.Value) || math.IsInf(r.Value, 0) {
		return "", fmt.Errorf("the expected value is %v, which no answer can meet", r.Value)
	}
	data, err := json.Marshal(r)
	if err != nil {
		return "", err
	}
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.BestCompression)
	if err != nil {
		return "", err
	}
	if _, err := w.Write(data); err != nil {
		return "", err
	}
	if err := w.Close(); err != nil {
		return "", err
	}
	return base64.RawURLEncoding.EncodeToString(b.Bytes()), nil
}

// largestRecord is more than any record takes.
const largestRecord = 1 << 16

// Open reads a sealed record.
func Open(word string) (Record, error) {
	var r Record
	data, err := base64.RawURLEncoding.DecodeString(word)
	if err == nil {
		data, err = io.ReadAll(io.LimitReader(flate.NewReader(bytes.NewReader(data)), largestRecord))
	}
	if err == nil {
		err = json.Unmarshal(data, &r)
	}
	if err != nil {
		return r, fmt.Errorf("the line //foreplane:answer was changed: take it from the assignment again (%w)", err)
	}
	return r, nil
}

// Question is the first line of the cell that answers a question, in the instructor's notebook or in the student's.
type Question struct {
	Name      string
	Tolerance float64
	Sealed    string // in the student's notebook
}

var (
	questionLine  = regexp.MustCompile(`(?m)^[ \t]*//foreplane:(question|answer)\b[ \t]*(.*?)[ \t]*$`)
	questionParts = regexp.MustCompile(`^([\pL\d_-]+)(?:\s+(?:±\s*)?([\d.]+)\s*%)?(?:\s+([\w-]+))?$`)
)

// Find returns the question that a cell answers, or nil. Its line reads
//
//	//foreplane:question NAME [TOLERANCE %]
//
// in the instructor's notebook, and //foreplane:answer with the sealed record at its end in the student's.
func Find(code string) (*Question, error) {
	m := questionLine.FindStringSubmatch(code)
	if m == nil {
		return nil, nil
	}
	parts := questionParts.FindStringSubmatch(m[2])
	if parts == nil || m[1] == "question" && parts[3] != "" || m[1] == "answer" && parts[3] == "" {
		return nil, fmt.Errorf("%s: after //foreplane:%s stands the name of the question and, if it is not 1 %%, the tolerance, such as 0.5 %%", strings.TrimSpace(m[0]), m[1])
	}
	q := &Question{Name: parts[1], Tolerance: DefaultTolerance, Sealed: parts[3]}
	if parts[2] != "" {
		percent, err := strconv.ParseFloat(parts[2], 64)
		if err != nil || percent <= 0 || percent > 50 {
			return nil, fmt.Errorf("%s: the tolerance is %s %%; it lies above 0 and up to 50 %%", strings.TrimSpace(m[0]), parts[2])
		}
		q.Tolerance = percent / 100
	}
	return q, nil
}
