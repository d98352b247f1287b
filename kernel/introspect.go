package kernel

import (
	"context"
	"unicode/utf8"
)

// position is the content of requests about a place in a piece of code.
type position struct {
	Code   *string `json:"code"`
	Cursor *int    `json:"cursor_pos"` // in code points; absent means at the end
	Detail int     `json:"detail_level"`
}

// readPosition decodes a request about a place in code and returns that place as a byte offset.
func readPosition(r *request) (in position, offset int, err error) {
	if err := r.decode(&in); err != nil {
		return in, 0, err
	}
	if in.Code == nil {
		return in, 0, missing("code")
	}
	if in.Cursor == nil {
		return in, len(*in.Code), nil
	}
	offset, ok := byteOffset(*in.Code, *in.Cursor)
	if !ok {
		return in, 0, malformed("content.cursor_pos is %d, want 0 to %d", *in.Cursor, utf8.RuneCountInString(*in.Code))
	}
	return in, offset, nil
}

// byteOffset converts an offset in code points, as the protocol counts since 5.2.
func byteOffset(s string, points int) (int, bool) {
	if points < 0 {
		return 0, false
	}
	for i := range s {
		if points == 0 {
			return i, true
		}
		points--
	}
	return len(s), points == 0
}

func (k *Kernel) complete(_ context.Context, r *request) (fields, error) {
	in, cursor, err := readPosition(r)
	if err != nil {
		return nil, err
	}
	c := k.engine.Complete(*in.Code, cursor)
	start, end := utf8.RuneCountInString((*in.Code)[:c.Start]), utf8.RuneCountInString((*in.Code)[:c.End])
	matches, types := []string{}, []fields{}
	for _, item := range c.Items {
		matches = append(matches, item.Text)
		types = append(types, fields{"start": start, "end": end, "text": item.Text, "type": item.Kind, "signature": item.Signature})
	}
	return fields{
		"status":       "ok",
		"matches":      matches,
		"cursor_start": start,
		"cursor_end":   end,
		"metadata":     fields{"_jupyter_types_experimental": types},
	}, nil
}

func (k *Kernel) inspect(_ context.Context, r *request) (fields, error) {
	in, cursor, err := readPosition(r)
	if err != nil {
		return nil, err
	}
	doc, found := k.engine.Inspect(*in.Code, cursor, in.Detail)
	if !found {
		return fields{"status": "ok", "found": false, "data": fields{}, "metadata": fields{}}, nil
	}
	doc = presentable(doc)
	return fields{"status": "ok", "found": true, "data": doc.Data, "metadata": doc.Metadata}, nil
}

func (k *Kernel) isComplete(_ context.Context, r *request) (fields, error) {
	in, _, err := readPosition(r)
	if err != nil {
		return nil, err
	}
	c := k.engine.Completeness(*in.Code)
	content := fields{"status": c.Status}
	if c.Status == "incomplete" {
		content["indent"] = c.Indent
	}
	return content, nil
}
