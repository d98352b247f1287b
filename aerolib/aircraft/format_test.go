package aircraft

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write FORMAT.md anew")

// TestFormat holds the reference table of the file's keys against the fields that read and write them.
func TestFormat(t *testing.T) {
	var b strings.Builder
	b.WriteString("# Keys of an aeroplane's file\n\nThe file is TOML. A quantity is a text with its unit, such as `\"8.40 m\"`, `\"27 ft 7 in\"` or `\"-1.5°\"`; ratios, coefficients " +
		"and counts may stand as bare numbers.\nEvery other key is refused. This page is generated from the code by `go test ./aerolib/aircraft -update`.\n")
	describeTable(&b, "", bind(documentFields, &document{}))
	got := b.String()
	if *update {
		if err := os.WriteFile("FORMAT.md", []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile("FORMAT.md")
	if err != nil || string(want) != got {
		t.Errorf("FORMAT.md differs from the code (%v): run go test ./aerolib/aircraft -update", err)
	}
}

func describeTable(b *strings.Builder, path string, entries []entry) {
	title := path
	if path == "" {
		title = "top"
	}
	fmt.Fprintf(b, "\n## %s\n\n| key | what | kind | needed |\n| --- | --- | --- | --- |\n", title)
	for _, e := range entries {
		need := ""
		if e.need {
			need = "yes"
		}
		kind := e.kind
		if symbolOf(e.kind) != "" && !bare(e.kind) {
			kind += ", " + symbolOf(e.kind)
		}
		fmt.Fprintf(b, "| `%s` | %s | %s | %s |\n", e.key, e.text, kind, need)
	}
	for _, e := range entries {
		switch v := e.value.(type) {
		case rows:
			describeTable(b, join(path, e.key)+"[]", v.add())
		case []entry:
			describeTable(b, join(path, e.key), v)
		}
	}
}
