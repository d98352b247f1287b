package kernel

import (
	"context"
	"regexp"
	"slices"
	"strings"
)

// recollection is the content of a history request. The raw flag makes no difference: inputs are kept as they were sent.
type recollection struct {
	Access  string  `json:"hist_access_type"`
	Output  bool    `json:"output"`
	Raw     bool    `json:"raw"`
	Session int64   `json:"session"`
	Start   int     `json:"start"`
	Stop    *int    `json:"stop"`
	N       *int    `json:"n"`
	Pattern *string `json:"pattern"`
	Unique  bool    `json:"unique"`
}

func (k *Kernel) recall(_ context.Context, r *request) (fields, error) {
	var in recollection
	if err := r.decode(&in); err != nil {
		return nil, err
	}
	var found []entry
	switch in.Access {
	case "tail":
		found = newest(k.history.all(), in.N)
	case "range":
		found = in.inRange(k.history)
	case "search":
		matches, err := glob(in.Pattern)
		if err != nil {
			return nil, malformed("content.pattern: %v", err)
		}
		found = newest(in.matching(matches, k.history.all()), in.N)
	default:
		return nil, malformed("content.hist_access_type is %q, want tail, range or search", in.Access)
	}
	rows := [][3]any{}
	for _, e := range found {
		rows = append(rows, e.row(in.Output))
	}
	return fields{"status": "ok", "history": rows}, nil
}

func (e entry) row(withOutput bool) [3]any {
	if withOutput {
		return [3]any{e.Session, e.Line, [2]any{e.Input, e.Output}}
	}
	return [3]any{e.Session, e.Line, e.Input}
}

// newest returns the last n entries; all if n is not given.
func newest(entries []entry, n *int) []entry {
	if n == nil || *n >= len(entries) {
		return entries
	}
	return entries[len(entries)-max(0, *n):]
}

// inRange returns the entries of one session from line Start up to, not including, Stop.
func (in *recollection) inRange(h *history) []entry {
	session := h.sessionAt(in.Session)
	return slices.DeleteFunc(h.all(), func(e entry) bool {
		return e.Session != session || e.Line < in.Start || in.Stop != nil && e.Line >= *in.Stop
	})
}

// matching returns the entries whose input matches; of equal inputs only the newest if Unique is set.
func (in *recollection) matching(pattern *regexp.Regexp, entries []entry) []entry {
	newest := map[string]int{}
	for i, e := range entries {
		newest[e.Input] = i
	}
	var found []entry
	for i, e := range entries {
		if pattern.MatchString(e.Input) && (!in.Unique || newest[e.Input] == i) {
			found = append(found, e)
		}
	}
	return found
}

// glob compiles a pattern for whole inputs, in which * stands for any text and ? for any character. No pattern matches everything.
func glob(pattern *string) (*regexp.Regexp, error) {
	if pattern == nil {
		return regexp.Compile("")
	}
	text := strings.NewReplacer(`\*`, `.*`, `\?`, `.`).Replace(regexp.QuoteMeta(*pattern))
	return regexp.Compile(`(?s)\A` + text + `\z`)
}
