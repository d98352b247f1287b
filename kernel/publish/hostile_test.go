package publish

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"foreplane/kernel/notebook"
)

// attacks reads the list of attempts: one a line, # begins a remark.
func attacks(t testing.TB) []string {
	t.Helper()
	data, err := os.ReadFile("testdata/hostile.txt")
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	for line := range strings.Lines(string(data)) {
		line = strings.TrimSuffix(line, "\n")
		if line != "" && !strings.HasPrefix(line, "#") {
			list = append(list, strings.NewReplacer(`\n`, "\n", `\t`, "\t", `\0`, "\x00").Replace(line))
		}
	}
	return list
}

// everywhere puts one text into all places of a notebook that come from outside.
func everywhere(s string) *notebook.Document {
	bundle := func(mime string) notebook.Output {
		return notebook.Output{
			Type: notebook.Display, Data: notebook.Object{mime: s, "text/plain": s},
			Metadata: notebook.Object{mime: notebook.Object{"alt": s, "width": s, "height": s}},
		}
	}
	return &notebook.Document{
		Metadata: notebook.Object{"title": s},
		Cells: []notebook.Cell{
			{Kind: notebook.Markdown, Source: s, Attachments: map[string]notebook.Object{"x": {"image/png": s}}},
			{Kind: notebook.Markdown, Source: "## " + s + "\n\n[" + s + "](<" + s + ">) ![" + s + "](" + s + " \"" + s + "\")\n\n```go\n" + s + "\n```"},
			{Kind: notebook.Raw, Source: s},
			{Kind: notebook.Code, Source: s, Outputs: []notebook.Output{
				{Type: notebook.Stream, Name: s, Text: s}, {Type: notebook.Failure, ErrorName: s, Message: s, Traceback: []string{s}},
				bundle("text/html"), bundle("text/markdown"), bundle("text/latex"), bundle("image/svg+xml"), bundle("image/png"), bundle("text/plain"), bundle("application/json"),
				{Type: notebook.Display, Data: notebook.Object{"image/svg+xml": `<svg xmlns="http://www.w3.org/2000/svg">` + s + "</svg>"}},
			}},
		},
	}
}

func TestHostile(t *testing.T) {
	list := attacks(t)
	if len(list) < 60 {
		t.Fatalf("only %d attempts are listed", len(list))
	}
	for i, attack := range list {
		for _, problem := range dangers(render(t, everywhere(attack), Options{Title: "x"})) {
			t.Errorf("attempt %d, %q: %s", i+1, attack, problem)
		}
	}
}

// FuzzHostile lets the fuzzer look for what the list does not have.
func FuzzHostile(f *testing.F) {
	for _, attack := range attacks(f) {
		f.Add(attack)
	}
	f.Fuzz(func(t *testing.T, s string) {
		s = strings.ReplaceAll(s, "$", "") // formulas are slow to fuzz; their own test is TestTypesetHarmless
		for _, problem := range dangers(render(t, everywhere(s), Options{})) {
			t.Error(problem)
		}
	})
}

// TestDangersAreSeen holds that the judge of the tests above sees what it is to see.
func TestDangersAreSeen(t *testing.T) {
	for _, bad := range []string{
		"<script>1</script>", "<p onclick=x>", "<a href=javascript:x>", "<img src=http://a/b>", `<p style="background:url(http://a)">`, "<iframe>", "</main><main>", "<form>",
		"<svg><animate/></svg>", "<svg><use href='http://a#b'/></svg>", "<meta http-equiv=refresh>", "<a href='data:text/html,x'>", "<style>p{}</style>",
	} {
		page := render(t, &notebook.Document{}, Options{})
		page = strings.Replace(page, "</main>", bad+"</main>", 1)
		if len(dangers(page)) == 0 {
			t.Errorf("%s is not seen", bad)
		}
	}
}

// dangers lists what a browser could be made to do by a page.
func dangers(page string) []string {
	root, err := html.Parse(strings.NewReader(page))
	if err != nil {
		return []string{err.Error()}
	}
	var found []string
	counts := map[string]int{}
	for n := range root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		name := strings.ToLower(n.Data)
		counts[name]++
		switch name {
		case "script", "iframe", "frame", "object", "embed", "applet", "base", "link", "form", "input", "button", "textarea", "select", "template", "slot", "audio", "video",
			"source", "track", "foreignobject", "animate", "animatetransform", "animatemotion", "set", "handler", "portal", "noscript", "xmp", "plaintext", "dialog", "feimage":
			found = append(found, "element "+name)
		}
		for _, a := range n.Attr {
			if danger := attributeDanger(name, strings.ToLower(a.Key), a.Val); danger != "" {
				found = append(found, danger)
			}
		}
	}
	for name, want := range map[string]int{"main": 1, "footer": 1, "body": 1, "style": 1, "meta": 4, "head": 1, "html": 1} {
		if counts[name] != want {
			found = append(found, fmt.Sprintf("%d elements %s", counts[name], name))
		}
	}
	return found
}

func attributeDanger(element, key, value string) string {
	v := strings.ToLower(strings.Join(strings.FieldsFunc(value, func(r rune) bool { return r <= ' ' }), ""))
	bad := false
	switch {
	case strings.HasPrefix(key, "on"), key == "srcdoc", key == "srcset", key == "formaction", key == "action", key == "background", key == "ping", key == "target":
		bad = true
	case key == "src" || key == "href" && element == "image":
		bad = !strings.HasPrefix(v, "data:image/")
	case key == "href" && element != "a":
		bad = !strings.HasPrefix(v, "#")
	case key == "href":
		scheme, _, ok := strings.Cut(v, ":")
		bad = ok && !strings.ContainsAny(scheme, "/#?") && scheme != "http" && scheme != "https" && scheme != "mailto"
	case key == "style" || key == "fill" || key == "stroke" || key == "filter" || key == "mask" || key == "clip-path":
		bad = strings.Contains(strings.ReplaceAll(v, "url(#", ""), "url(") || strings.ContainsAny(v, `\@<`) || strings.Contains(v, "expression") || strings.Contains(v, "position:fixed")
	}
	if bad {
		return fmt.Sprintf("%s has %s=%q", element, key, value)
	}
	return ""
}

// elsewhere puts one text into the places that only a site has: what a run has put in place of live values, ids of cells, labels, references and tags, the
// names of questions, and a bibliography.
func elsewhere(t testing.TB, s string) (*notebook.Document, Options) {
	field := strings.NewReplacer("{", "", "}", "", "\\", "").Replace(s) // braces would end the field, which the reader refuses by itself
	list, err := ReadBibTeX("@book{key, author={" + field + "}, title={" + field + "}, year={" + field + "}, url={" + field + "}, doi={" + field + "}, note={" + field + "}}")
	if err != nil {
		t.Fatalf("%q: %v", field, err)
	}
	list[s] = Entry{Type: s, Key: s, Fields: map[string]string{"author": s, "title": s, "url": s, "journal": s, "year": s}}
	doc := &notebook.Document{Cells: []notebook.Cell{
		{ID: s, Kind: notebook.Markdown, Source: "V is {{.V}}.", Metadata: notebook.Object{"foreplane": notebook.Object{"text": s}}},
		{ID: "refs", Kind: notebook.Markdown, Source: "[](#ref:key) [" + s + "](#ref:key) [](<#ref:" + s + ">) [](<#fig:" + s + ">) [](<#tab:" + s + ">) $$x \\label{eq:" + s + "}$$ [](<#eq:" + s + ">)"},
		{ID: s + "2", Kind: notebook.Code, Source: "//foreplane:question " + s + "\n1", Metadata: notebook.Object{"tags": []any{s, "solution"}}, Outputs: []notebook.Output{
			{Type: notebook.Display, Data: notebook.Object{"text/html": `<div role="status"><b>` + s + "</b></div>", "application/vnd.foreplane.answer+json": notebook.Object{"text": s}}},
			{Type: notebook.Display, Data: notebook.Object{"image/svg+xml": `<svg xmlns="http://www.w3.org/2000/svg"><title>` + s + "</title></svg>",
				"application/vnd.foreplane.table+json": notebook.Object{"caption": s, "header": []any{s}, "units": []any{s}, "rows": []any{[]any{s}}}}},
		}},
	}}
	entrance := Entrance{File: "x.html", Title: s, Summary: s}
	return doc, Options{Title: s, Lang: "en", Caution: true, Bibliography: list, Solutions: FoldSolutions, FoldCode: true, Units: SIUnits, IsUnit: func(string) bool { return true },
		Site: &Site{Title: s, Before: &entrance, Behind: &entrance}}
}

func TestHostileSite(t *testing.T) {
	for i, attack := range attacks(t) {
		doc, options := elsewhere(t, attack)
		page := render(t, doc, options)
		for _, problem := range dangers(page) {
			t.Errorf("attempt %d, %q: %s", i+1, attack, problem)
		}
		if !strings.Contains(page, `<li id="ref:key">`) {
			t.Errorf("attempt %d, %q: the list of references is gone", i+1, attack)
		}
		var index strings.Builder
		if err := Index(&index, attack, "en", []Entrance{{File: "x.html", Title: attack, Summary: attack}}); err != nil {
			t.Fatal(err)
		}
		for _, problem := range dangers(index.String()) {
			if !strings.Contains(problem, "elements meta") { // an index has no description
				t.Errorf("attempt %d, %q, index: %s", i+1, attack, problem)
			}
		}
	}
}

func TestHostileBibliography(t *testing.T) {
	for i, attack := range attacks(t) {
		list, err := ReadBibTeX("@book{" + attack + ", title={" + attack + "}}\n" + attack)
		if err != nil {
			continue // refused with a message
		}
		page := render(t, &notebook.Document{Cells: []notebook.Cell{{Kind: notebook.Markdown, Source: "[](#ref:" + attack + ")"}}}, Options{Bibliography: list})
		for _, problem := range dangers(page) {
			t.Errorf("attempt %d, %q: %s", i+1, attack, problem)
		}
	}
}
