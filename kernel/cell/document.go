package cell

import (
	"go/doc/comment"
	"go/types"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"foreplane/kernel/cell/internal/formula"
	"foreplane/kernel/display"
)

// bundle renders a document as text and as Markdown, where indented blocks are equations or else code.
func (d document) bundle() display.Bundle {
	markdown := "```go\n" + d.code + "\n```\n"
	plain := d.code + "\n"
	if d.origin != "" {
		markdown += "\n" + d.origin + "\n"
		plain += "// " + d.origin + "\n"
	}
	if d.text != "" {
		markdown += "\n" + markdownOf(d.text)
		plain += "\n" + d.text + "\n"
	}
	for _, note := range d.notes {
		markdown += "\n" + note + "\n"
		plain += "\n" + plainNote.Replace(note) + "\n"
	}
	return display.Bundle{Data: map[string]any{"text/plain": plain, "text/markdown": markdown}}
}

var plainNote = strings.NewReplacer("**", "", "`", "", `\`, "")

// markdownOf turns a doc comment into Markdown.
func markdownOf(text string) string {
	parser := comment.Parser{ // which takes every [Name] for a reference
		LookupSym:     func(recv, name string) bool { return true },
		LookupPackage: func(name string) (string, bool) { return name, true },
	}
	printer := comment.Printer{DocLinkURL: func(*comment.DocLink) string { return "" }, HeadingLevel: 4, HeadingID: func(*comment.Heading) string { return "" }}
	d := parser.Parse(text)
	var parts []string
	for _, b := range d.Content {
		if c, ok := b.(*comment.Code); ok {
			if equations, ok := formula.LaTeX(c.Text); ok {
				parts = append(parts, "$$\n"+equations+"\n$$\n")
				continue
			}
		}
		parts = append(parts, string(printer.Markdown(&comment.Doc{Content: []comment.Block{b}, Links: d.Links})))
	}
	return strings.Join(parts, "\n")
}

// quantityNotes says in which units a function takes its arguments and gives its results.
func (f *Front) quantityNotes(o types.Object) []string {
	if v, ok := o.(*types.Var); ok && v.IsField() {
		if text := f.quantityText(v); text != "" {
			return []string{"**Holds:** " + text}
		}
	}
	fn, ok := o.(*types.Func)
	if !ok {
		return nil
	}
	var notes []string
	for _, part := range []struct {
		title  string
		values *types.Tuple
	}{{"Takes", fn.Signature().Params()}, {"Returns", fn.Signature().Results()}} {
		var list []string
		for v := range part.values.Variables() {
			if text := f.quantityText(v); text != "" {
				list = append(list, text)
			}
		}
		if len(list) > 0 {
			notes = append(notes, "**"+part.title+":** "+strings.Join(list, "; "))
		}
	}
	return notes
}

// quantityText names a parameter or result with its quantity and unit, or returns nothing.
func (f *Front) quantityText(v *types.Var) string {
	q, ok := f.dims.Declared(v)
	if !ok || !f.dims.Named(q) {
		return ""
	}
	text := strings.ToLower(capitals.ReplaceAllString(q.Kind, "$1 $2"))
	if v.Name() != "" && v.Name() != "_" {
		text = "`" + v.Name() + "` " + text
	}
	if q.Symbol != "1" {
		text += " in " + q.Symbol
	}
	return text
}

var (
	capitals = regexp.MustCompile(`(\pL)(\p{Lu})`)
	key      = regexp.MustCompile(`\[([A-Z][A-Za-z]*\d*[A-Za-z]*)\]`)
)

// sources spells out the works that a text refers to by keys, from the list at the end of its package's documentation.
func (f *Front) sources(path, text string) []string {
	_, list, ok := strings.Cut(strings.Join(strings.Fields(f.lib.Doc(path, "")), " "), "Sources: ")
	if !ok {
		return nil
	}
	var out []string
	at := key.FindAllStringIndex(list, -1)
	for _, m := range key.FindAllStringSubmatch(text, -1) {
		i := slices.IndexFunc(at, func(a []int) bool { return list[a[0]:a[1]] == m[0] })
		if i < 0 {
			continue
		}
		end := len(list)
		if i+1 < len(at) {
			end = at[i+1][0]
		}
		if entry := `\[` + m[1] + `\] ` + strings.TrimSpace(list[at[i][1]:end]); !slices.Contains(out, entry) {
			out = append(out, entry)
		}
	}
	if len(out) == 0 {
		return nil
	}
	return []string{"**Source:** " + strings.Join(out, " ")}
}

// held says what a variable of the session held when the last cell had ended, and which cell set it when.
func (f *Front) held(o types.Object) []string {
	v, ok := o.(*types.Var)
	if !ok || f.session.names[o.Name()] != o || f.session.slots[o] == "" {
		return nil
	}
	known := f.variable(o.Name(), v)
	var notes []string
	if known.Value != "" {
		text := "**Value:** " + escaped.Replace(known.Value)
		if known.Unit != "" && known.Unit != "1" {
			text += " " + known.Unit
		}
		notes = append(notes, text)
	}
	if known.Cell > 0 {
		notes = append(notes, "**Set:** by cell "+strconv.Itoa(known.Cell)+" at "+known.Set.Format("15:04:05"))
	}
	return notes
}

var escaped = strings.NewReplacer("*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "<", `\<`, "$", `\$`)
