package cell

import (
	"flag"
	"os"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"foreplane/kernel"
	"foreplane/kernel/symbols"
)

var update = flag.Bool("update", false, "write golden files anew")

// TestBeginners holds the full text that beginners' errors get. A cell of testdata/beginners.txtar is followed by it.
func TestBeginners(t *testing.T) {
	const file = "testdata/beginners.txtar"
	archive, err := txtar.ParseFile(file)
	if err != nil {
		t.Fatal(err)
	}
	f := NewFront(symbols.Library)
	for i := 0; i+1 < len(archive.Files); i += 2 {
		code, want := string(archive.Files[i].Data), string(archive.Files[i+1].Data)
		got := "nothing\n"
		if _, err := f.Prepare(kernel.Cell{Code: strings.TrimSuffix(code, "\n"), Number: 1}); err != nil {
			got = err.Name + "\n" + strings.Join(err.Traceback, "\n") + "\n"
		}
		if *update {
			archive.Files[i+1].Data = []byte(got)
		} else if got != want {
			t.Errorf("%s\ngot\n%s\nwant\n%s", code, got, want)
		}
	}
	if n := len(archive.Files) / 2; n < 100 {
		t.Errorf("%d errors only", n)
	}
	if *update {
		if err := os.WriteFile(file, txtar.Format(archive), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// TestNearest holds how far a name may be from what it is taken for.
func TestNearest(t *testing.T) {
	names := strings.Fields("Knot Foot Metre MetrePerSecond Density Mass")
	for wrong, want := range map[string]string{
		"Kont": "Knot", "knot": "Knot", "Fot": "Foot", "Metr": "Metre", "Dnesity": "Density", "MetresPerSecond": "MetrePerSecond", "V": "", "Mess": "Mass", "Pressure": "",
	} {
		if got := strings.Join(nearest(wrong, names), " "); got != want {
			t.Errorf("%s: %s, want %s", wrong, got, want)
		}
	}
}
