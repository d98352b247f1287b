package publish

import (
	"fmt"
	"html"
	"regexp"
	"strings"
	"unicode"
)

// Bibliography is what a BibTeX file lists, by key.
type Bibliography map[string]Entry

// Entry is a publication: its fields by their names in small letters.
type Entry struct {
	Type, Key string
	Fields    map[string]string
}

// ReadBibTeX reads a BibTeX file. Comments, preambles and what stands between entries are passed over; @string names are known afterwards. The error names the line.
func ReadBibTeX(text string) (Bibliography, error) {
	r := &bibReader{text: text, strings: map[string]string{}}
	out := Bibliography{}
	for {
		at := strings.IndexByte(r.text[r.at:], '@')
		if at < 0 {
			return out, nil
		}
		r.at += at + 1
		e, err := r.entry()
		if err != nil {
			return nil, err
		}
		if e.Key == "" {
			continue
		}
		if _, twice := out[e.Key]; twice {
			return nil, r.fail("the key %s is there twice", e.Key)
		}
		out[e.Key] = e
	}
}

type bibReader struct {
	text    string
	at      int
	strings map[string]string
}

func (r *bibReader) fail(format string, args ...any) error {
	line := 1 + strings.Count(r.text[:min(r.at, len(r.text))], "\n")
	return fmt.Errorf("line %d: %s", line, fmt.Sprintf(format, args...))
}

func (r *bibReader) blanks() {
	for r.at < len(r.text) && unicode.IsSpace(rune(r.text[r.at])) {
		r.at++
	}
}

// next reports whether a character comes next, and steps behind it.
func (r *bibReader) next(c byte) bool {
	r.blanks()
	if r.at < len(r.text) && r.text[r.at] == c {
		r.at++
		return true
	}
	return false
}

func (r *bibReader) name() string {
	r.blanks()
	start := r.at
	for r.at < len(r.text) && !unicode.IsSpace(rune(r.text[r.at])) && !strings.ContainsRune(`{}(),="#%`, rune(r.text[r.at])) {
		r.at++
	}
	return r.text[start:r.at]
}

// entry reads what stands behind @.
func (r *bibReader) entry() (Entry, error) {
	e := Entry{Type: strings.ToLower(r.name()), Fields: map[string]string{}}
	if e.Type == "comment" || e.Type == "preamble" {
		return e, nil
	}
	if !r.next('{') {
		return e, r.fail("behind @%s a { is missing", e.Type)
	}
	if e.Type != "string" {
		if e.Key = r.name(); e.Key == "" || !r.next(',') {
			return e, r.fail("@%s has no key with a comma behind it", e.Type)
		}
	}
	for !r.next('}') {
		field := strings.ToLower(r.name())
		if field == "" || !r.next('=') {
			return e, r.fail("a field of @%s{%s is not written name = {value}", e.Type, e.Key)
		}
		value, err := r.value()
		if err != nil {
			return e, err
		}
		e.Fields[field] = value
		if e.Type == "string" {
			r.strings[field] = value
		}
		r.next(',')
	}
	return e, nil
}

// value reads a value, which may be put together with #.
func (r *bibReader) value() (string, error) {
	var out string
	for {
		piece, err := r.piece()
		if err != nil {
			return "", err
		}
		if out += piece; !r.next('#') {
			return strings.Join(strings.Fields(untex(out)), " "), nil
		}
	}
}

func (r *bibReader) piece() (string, error) {
	switch {
	case r.next('{'):
		return r.until('}')
	case r.next('"'):
		return r.until('"')
	}
	name := r.name()
	if name == "" {
		return "", r.fail("a value is missing")
	}
	if s, ok := r.strings[strings.ToLower(name)]; ok {
		return s, nil
	}
	return name, nil
}

// until reads up to a character outside of braces.
func (r *bibReader) until(end byte) (string, error) {
	start, depth := r.at, 0
	for ; r.at < len(r.text); r.at++ {
		switch c := r.text[r.at]; {
		case c == '\\':
			r.at++
		case c == end && depth == 0:
			r.at++
			return r.text[start : r.at-1], nil
		case c == '{':
			depth++
		case c == '}':
			depth--
		}
	}
	r.at = start
	return "", r.fail("a value that begins here does not end")
}

var (
	accent   = regexp.MustCompile("\\{?\\\\([\"'`^~c])\\s*\\{?([A-Za-z])\\}?\\}?")
	accented = map[string]string{
		`"a`: "ä", `"o`: "ö", `"u`: "ü", `"A`: "Ä", `"O`: "Ö", `"U`: "Ü", `'a`: "á", `'e`: "é", `'i`: "í", `'o`: "ó", `'u`: "ú", "`a": "à", "`e": "è", `^a`: "â", `^e`: "ê",
		`^o`: "ô", `~n`: "ñ", `cc`: "ç", `"e`: "ë", `"i`: "ï",
	}
	tex = strings.NewReplacer(`\&`, "&", `\%`, "%", `\_`, "_", `\ss`, "ß", "---", "—", "--", "–", "~", " ", "{", "", "}", "")
)

// untex takes the commonest marks of TeX out of a value.
func untex(s string) string {
	s = accent.ReplaceAllStringFunc(s, func(m string) string {
		parts := accent.FindStringSubmatch(m)
		if letter, ok := accented[parts[1]+parts[2]]; ok {
			return letter
		}
		return parts[2]
	})
	return tex.Replace(s)
}

// HTML words an entry for a list of references.
func (e Entry) HTML() string {
	f := func(name string) string { return html.EscapeString(e.Fields[name]) }
	var parts []string
	add := func(text string) {
		if text != "" {
			parts = append(parts, strings.TrimSuffix(text, "."))
		}
	}
	add(authors(html.EscapeString(firstOf(e.Fields["author"], e.Fields["editor"]))))
	title := f("title")
	in := firstOf(f("journal"), f("booktitle"))
	if in == "" {
		title = "<cite>" + title + "</cite>"
	} else {
		in = "<cite>" + in + "</cite>"
	}
	add(title)
	add(strings.TrimSpace(in + " " + strings.TrimSpace(f("volume")+inParentheses(f("number"), e.Type == "article"))))
	if e.Type != "article" {
		add(f("number"))
	}
	add(firstOf(f("publisher"), f("institution"), f("school")))
	add(f("year"))
	if pages := f("pages"); pages != "" {
		add("pp. " + pages)
	}
	add(f("note"))
	return strings.Join(parts, ". ") + "."
}

func inParentheses(text string, wanted bool) string {
	if text == "" || !wanted {
		return ""
	}
	return " (" + text + ")"
}

// authors writes "Last, First and Last, First" as a list.
func authors(text string) string { return strings.ReplaceAll(text, " and ", "; ") }

func firstOf(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}
