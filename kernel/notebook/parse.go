package notebook

import (
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"strings"
)

var idPattern = regexp.MustCompile(`^[a-zA-Z0-9_-]{1,64}$`)

func parseDocument(n node) (*Document, error) {
	major, minor := n.integer("nbformat", 0), n.integer("nbformat_minor", 0)
	if n.err == nil && major == 0 {
		n.fail("nbformat is missing")
	}
	if n.err == nil && major != Major {
		return nil, &VersionError{major, minor}
	}
	d := &Document{Minor: max(minor, Minor), Metadata: n.optional("metadata")}
	for i, cell := range n.list("cells", true) {
		child := n.child(fmt.Sprintf("cell %d", i+1), cell)
		c := parseCell(&child)
		n.adopt(child)
		d.Cells = append(d.Cells, c)
	}
	d.Extra = n.rest()
	if n.err != nil {
		return nil, n.err
	}
	if err := d.identify(); err != nil {
		return nil, err
	}
	return d, nil
}

func parseCell(n *node) Cell {
	c := Cell{Kind: Kind(n.str("cell_type", true)), Source: n.text("source", true), ID: n.str("id", false), Metadata: n.optional("metadata")}
	switch c.Kind {
	case Code:
		c.Count = n.integer("execution_count", 0)
		for i, output := range n.list("outputs", false) {
			child := n.child(fmt.Sprintf("output %d", i+1), output)
			c.Outputs = append(c.Outputs, parseOutput(&child))
			n.adopt(child)
		}
	case Markdown, Raw:
		c.Attachments = n.attachments()
	default:
		n.fail(fmt.Sprintf("cell_type is %q; known are code, markdown and raw", c.Kind))
	}
	if _, given := n.object["id"]; given && !idPattern.MatchString(c.ID) {
		n.fail(fmt.Sprintf("id is %q; an id has 1 to 64 letters, digits, - or _", c.ID))
	}
	n.use("id")
	c.Extra = n.rest()
	return c
}

func parseOutput(n *node) Output {
	o := Output{Type: OutputType(n.str("output_type", true))}
	switch o.Type {
	case Stream:
		o.Name, o.Text = n.str("name", true), n.text("text", true)
	case Display, Result:
		o.Data, o.Metadata = n.bundle("data"), n.optional("metadata")
		if o.Type == Result {
			o.Count = n.integer("execution_count", 0)
		}
	case Failure:
		o.ErrorName, o.Message = n.str("ename", true), n.str("evalue", true)
		for i, line := range n.list("traceback", false) {
			s, ok := line.(string)
			if !ok {
				n.fail(fmt.Sprintf("line %d of the traceback is %s, not a string", i+1, nature(line)))
			}
			o.Traceback = append(o.Traceback, s)
		}
	default:
		n.fail(fmt.Sprintf("output_type is %q; known are stream, display_data, execute_result and error", o.Type))
	}
	o.Extra = n.rest()
	return o
}

// node is one JSON object being read: it remembers where it stands, which keys were used, and the first problem.
type node struct {
	where  string
	object Object
	used   []string
	err    error
}

func (n *node) fail(problem string) {
	if n.err == nil {
		n.err = &FormatError{n.where, problem}
	}
}

func (n *node) child(name string, value any) node {
	c := node{where: name}
	if n.where != "" {
		c.where = n.where + ", " + name
	}
	object, ok := value.(Object)
	if !ok {
		c.fail("is " + nature(value) + ", not an object")
	}
	c.object = object
	return c
}

// adopt takes over a child's problem.
func (n *node) adopt(child node) {
	if n.err == nil {
		n.err = child.err
	}
}

func (n *node) use(key string) (any, bool) {
	n.used = append(n.used, key)
	v, ok := n.object[key]
	return v, ok
}

// rest returns what was not used, nil if that is nothing.
func (n *node) rest() Object {
	rest := maps.Clone(n.object)
	for _, key := range n.used {
		delete(rest, key)
	}
	if len(rest) == 0 {
		return nil
	}
	return rest
}

func (n *node) wrong(key string, v any, want string) {
	n.fail(key + " is " + nature(v) + ", not " + want)
}

func (n *node) str(key string, required bool) string {
	v, ok := n.use(key)
	if !ok {
		if required {
			n.fail(key + " is missing")
		}
		return ""
	}
	s, ok := v.(string)
	if !ok {
		n.wrong(key, v, "a string")
	}
	return s
}

// text reads a string that may be split into a list of lines.
func (n *node) text(key string, required bool) string {
	v, ok := n.use(key)
	if !ok {
		if required {
			n.fail(key + " is missing")
		}
		return ""
	}
	s, ok := join(v)
	if !ok {
		n.wrong(key, v, "a string or a list of strings")
	}
	return s
}

func join(v any) (string, bool) {
	switch v := v.(type) {
	case string:
		return v, true
	case []any:
		var b strings.Builder
		for _, line := range v {
			s, ok := line.(string)
			if !ok {
				return "", false
			}
			b.WriteString(s)
		}
		return b.String(), true
	}
	return "", false
}

// integer reads a whole number; null is the same as absent.
func (n *node) integer(key string, absent int) int {
	v, ok := n.use(key)
	if !ok || v == nil {
		return absent
	}
	if number, ok := v.(json.Number); ok {
		if i, err := number.Int64(); err == nil && i >= 0 && i <= 1<<31 {
			return int(i)
		}
	}
	n.wrong(key, v, "a whole number from 0 up")
	return absent
}

func (n *node) list(key string, required bool) []any {
	v, ok := n.use(key)
	if !ok {
		if required {
			n.fail(key + " is missing")
		}
		return nil
	}
	list, ok := v.([]any)
	if !ok {
		n.wrong(key, v, "a list")
	}
	return list
}

// optional reads an object that may be absent; the result is never nil.
func (n *node) optional(key string) Object {
	v, ok := n.use(key)
	if !ok {
		return Object{}
	}
	object, ok := v.(Object)
	if !ok {
		n.wrong(key, v, "an object")
		return Object{}
	}
	return object
}

// bundle reads representations by MIME type, with texts joined.
func (n *node) bundle(key string) Object {
	bundle := Object{}
	for mime, v := range n.optional(key) {
		if !isJSON(mime) {
			s, ok := join(v)
			if !ok {
				n.wrong(key+" "+mime, v, "a string or a list of strings")
			}
			v = s
		}
		bundle[mime] = v
	}
	return bundle
}

func (n *node) attachments() map[string]Object {
	if _, ok := n.object["attachments"]; !ok {
		return nil
	}
	files := node{where: n.where, object: n.optional("attachments")}
	attachments := map[string]Object{}
	for name := range files.object {
		attachments[name] = files.bundle(name)
	}
	n.adopt(files)
	return attachments
}

// isJSON reports whether values of a MIME type are stored as JSON, not as text.
func isJSON(mime string) bool {
	mime, _, _ = strings.Cut(mime, ";")
	return mime == "application/json" || strings.HasPrefix(mime, "application/") && strings.HasSuffix(mime, "+json")
}

// nature names a JSON value in words.
func nature(v any) string {
	switch v := v.(type) {
	case nil:
		return "null"
	case bool:
		return fmt.Sprint(v)
	case string:
		return "a string"
	case json.Number:
		return "the number " + v.String()
	case []any:
		return "a list"
	}
	return "an object"
}

func lower(s string) string { return strings.ToLower(strings.TrimSpace(s)) }
