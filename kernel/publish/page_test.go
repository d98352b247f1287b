package publish

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"foreplane/kernel/notebook"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func TestSample(t *testing.T) {
	doc, err := notebook.ReadFile("testdata/sample.ipynb")
	if err != nil {
		t.Fatal(err)
	}
	var first, second bytes.Buffer
	for _, b := range []*bytes.Buffer{&first, &second} {
		if err := Page(b, doc, Options{Caution: true}); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Error("the page differs from run to run")
	}
	path := filepath.Join("testdata", "sample.html")
	if *update {
		if err := os.WriteFile(path, first.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first.Bytes(), want) {
		t.Errorf("%s differs", path)
	}
}
