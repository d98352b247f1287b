package notebook

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/kerneltest"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// golden compares got with a file of testdata.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, got, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; got\n%s", path, got)
	}
}

func start(t *testing.T, engine kernel.Engine) *kernel.Local {
	t.Helper()
	l, err := kernel.NewLocal(kernel.Options{Engine: engine})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	return l
}

// codeCells makes a notebook of code cells; a source that begins with "#TAG " has that tag.
func codeCells(sources ...string) *Document {
	d := &Document{}
	for i, source := range sources {
		c := Cell{ID: fmt.Sprint("c", i+1), Kind: Code, Metadata: Object{}, Outputs: []Output{{Type: Stream, Name: "stdout", Text: "old"}}, Count: 9}
		if tag, rest, ok := strings.Cut(source, " "); ok && strings.HasPrefix(tag, "#") {
			c.Metadata["tags"], source = []any{tag[1:]}, rest
		}
		c.Source = source
		d.Cells = append(d.Cells, c)
	}
	return d
}

// TestRunGolden runs a notebook with all kinds of output twice and compares the bytes.
func TestRunGolden(t *testing.T) {
	var files [][]byte
	for range 2 {
		doc, err := ReadFile("testdata/script.ipynb")
		if err != nil {
			t.Fatal(err)
		}
		report, err := Run(t.Context(), doc, start(t, kerneltest.NewScript()), Options{KeepGoing: true})
		if err != nil || len(report.Failures) != 1 || report.Failures[0].ID != "fails" {
			t.Fatalf("report %+v, error %v", report, err)
		}
		doc.Metadata["language_info"].(Object)["version"] = "1" // the version of Go that built the test
		data, err := Format(doc)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, data)
	}
	if !bytes.Equal(files[0], files[1]) {
		t.Error("two runs differ")
	}
	golden(t, "executed.ipynb", files[0])
}

func TestRunOutputs(t *testing.T) {
	tests := []struct {
		name  string
		cells []string
		want  []string // outputs by cell
	}{
		{"streams are joined", []string{"print a\nprint b\nwarn c\nprint d"}, []string{"stdout a+b+ stderr c+ stdout d+"}},
		{"result", []string{"print a\nvalue 3"}, []string{"stdout a+ execute_result 3"}},
		{"error", []string{"print a\nfail Panic too much"}, []string{"stdout a+ error Panic:too much"}},
		{"clear", []string{"print a\nclear\nprint b"}, []string{"stdout b+"}},
		{"clear at the end", []string{"print a\nclear"}, []string{""}},
		{"clear that waits", []string{"print a\nclear wait\nprint b"}, []string{"stdout b+"}},
		{"clear that waits for ever", []string{"print a\nclear wait"}, []string{"stdout a+"}},
		{"clear that waits goes before a result", []string{"print a\nclear wait\nvalue 2"}, []string{"execute_result 2"}},
		{"update", []string{"show d text/plain old\nprint x", "update d text/plain new"}, []string{"display_data new stdout x+", ""}},
		{"the same id again updates all", []string{"show d text/plain 1", "show d text/plain 2"}, []string{"display_data 2", "display_data 2"}},
		{"no update of what was cleared", []string{"show d text/plain 1\nclear\nshow - text/plain 2\nupdate d text/plain 3"}, []string{"display_data 2"}},
		{"update of an unknown display", []string{"update d text/plain 3"}, []string{""}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			doc := codeCells(test.cells...)
			if _, err := Run(t.Context(), doc, start(t, kerneltest.NewScript()), Options{KeepGoing: true}); err != nil {
				t.Fatal(err)
			}
			for i, want := range test.want {
				if got := summary(doc.Cells[i].Outputs); got != want {
					t.Errorf("cell %d holds %q, want %q", i+1, got, want)
				}
			}
		})
	}
}

func TestRunAsksNobody(t *testing.T) {
	doc := codeCells("ask name?")
	report, err := Run(t.Context(), doc, start(t, kerneltest.NewScript()), Options{})
	if err != nil || len(report.Failures) != 1 || !strings.HasPrefix(summary(doc.Cells[0].Outputs), "error ") {
		t.Errorf("report %+v, error %v, outputs %+v", report, err, doc.Cells[0].Outputs)
	}
}

func summary(outputs []Output) string {
	var parts []string
	for _, o := range outputs {
		switch o.Type {
		case Stream:
			parts = append(parts, o.Name+" "+strings.ReplaceAll(o.Text, "\n", "+"))
		case Failure:
			parts = append(parts, "error "+o.ErrorName+":"+o.Message)
		default:
			parts = append(parts, fmt.Sprint(o.Type, " ", o.Data["text/plain"]))
		}
	}
	return strings.Join(parts, " ")
}

func TestRunReport(t *testing.T) {
	tests := []struct {
		name    string
		cells   []string
		options Options
		want    Report
		left    []string // outputs by cell
	}{
		{"stops at the first failure", []string{"print a", "fail E x", "print b", "print c"}, Options{},
			Report{Ran: []int{1, 2}, NotRun: []int{3, 4}}, []string{"stdout a+", "error E:x", "", ""}},
		{"keeps going", []string{"fail E x", "print b"}, Options{KeepGoing: true}, Report{Ran: []int{1, 2}}, []string{"error E:x", "stdout b+"}},
		{"may fail", []string{"#raises-exception fail E x", "print b"}, Options{}, Report{Ran: []int{1, 2}}, []string{"error E:x", "stdout b+"}},
		{"skipped cells keep their outputs", []string{"#skip-execution fail E x", "print b"}, Options{},
			Report{Ran: []int{2}, Skipped: []int{1}}, []string{"stdout old", "stdout b+"}},
		{"empty cells are not run", []string{" \n", "value 1"}, Options{}, Report{Ran: []int{2}}, []string{"", "execute_result 1"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			doc := codeCells(test.cells...)
			got, err := Run(t.Context(), doc, start(t, kerneltest.NewScript()), test.options)
			if err != nil {
				t.Fatal(err)
			}
			if strings.Contains(test.name, "stops") || strings.Contains(test.name, "keeps going") {
				if len(got.Failures) != 1 || got.Failures[0].Err.Message != "x" {
					t.Errorf("failures are %+v", got.Failures)
				}
				got.Failures = nil
			}
			if !reflect.DeepEqual(got, test.want) {
				t.Errorf("report %+v, want %+v", got, test.want)
			}
			for i, want := range test.left {
				if got := summary(doc.Cells[i].Outputs); got != want {
					t.Errorf("cell %d holds %q, want %q", i+1, got, want)
				}
			}
		})
	}
}

func TestRunCounts(t *testing.T) {
	doc := codeCells("value 1", "", "value 2")
	doc.Cells = slices.Insert(doc.Cells, 1, Cell{ID: "text", Kind: Markdown, Source: "text"})
	var steps []Step
	if _, err := Run(t.Context(), doc, start(t, kerneltest.NewScript()), Options{Progress: func(s Step) { steps = append(steps, s) }}); err != nil {
		t.Fatal(err)
	}
	if counts := []int{doc.Cells[0].Count, doc.Cells[2].Count, doc.Cells[3].Count}; !reflect.DeepEqual(counts, []int{1, 0, 2}) {
		t.Errorf("execution counts are %v", counts)
	}
	if want := []Step{{0, 2, 1}, {1, 2, 4}, {2, 2, 0}}; !reflect.DeepEqual(steps, want) {
		t.Errorf("steps %v, want %v", steps, want)
	}
}

func TestRunInterrupted(t *testing.T) {
	doc := codeCells("print a", "#raises-exception print b\nforever", "print c") // the tag excuses failures, not an interrupt
	ctx, cancel := context.WithCancelCause(t.Context())
	stop := errors.New("stopped by the user")
	executor := executorFunc(func(ctx context.Context, c kernel.Call, on func(kernel.Event)) (kernel.Reply, error) {
		return start(t, kerneltest.NewScript()).Execute(ctx, c, func(e kernel.Event) {
			on(e)
			if e.Text == "b\n" {
				cancel(stop)
			}
		})
	})
	report, err := Run(ctx, doc, executor, Options{KeepGoing: true})
	if !errors.Is(err, stop) {
		t.Errorf("error %v, want the cause of the interrupt", err)
	}
	if !reflect.DeepEqual(report.Ran, []int{1, 2}) || !reflect.DeepEqual(report.NotRun, []int{3}) || len(report.Failures) != 1 {
		t.Errorf("report %+v", report)
	}
	if got := summary(doc.Cells[1].Outputs); !strings.HasPrefix(got, "stdout b+ error Interrupted:") {
		t.Errorf("the interrupted cell holds %q", got)
	}
	if _, err := Format(doc); err != nil {
		t.Errorf("the partial result is not whole: %v", err)
	}
}

type executorFunc func(ctx context.Context, c kernel.Call, on func(kernel.Event)) (kernel.Reply, error)

func (f executorFunc) Execute(ctx context.Context, c kernel.Call, on func(kernel.Event)) (kernel.Reply, error) {
	return f(ctx, c, on)
}

func TestRunKernelLost(t *testing.T) {
	lost := errors.New("the kernel was closed")
	doc := codeCells("print a", "print b")
	report, err := Run(t.Context(), doc, executorFunc(func(context.Context, kernel.Call, func(kernel.Event)) (kernel.Reply, error) {
		return kernel.Reply{}, lost
	}), Options{})
	if !errors.Is(err, lost) || !reflect.DeepEqual(report, Report{NotRun: []int{1, 2}}) {
		t.Errorf("report %+v, error %v", report, err)
	}
}

func TestRunOtherLanguage(t *testing.T) {
	doc := codeCells("print a")
	doc.Metadata = Object{"kernelspec": Object{"language": "python"}}
	_, err := Run(t.Context(), doc, nil, Options{})
	var wrong *LanguageError
	if !errors.As(err, &wrong) || wrong.Language != "python" || doc.Cells[0].Count != 9 {
		t.Errorf("error %v, cell %+v", err, doc.Cells[0])
	}
}

func TestRunTimings(t *testing.T) {
	doc := codeCells("print a", "value 1")
	doc.Cells[1].Metadata["execution"] = Object{"iopub.status.busy": "long ago"}
	if _, err := Run(t.Context(), doc, start(t, kerneltest.NewScript()), Options{}); err != nil {
		t.Fatal(err)
	}
	if _, stale := doc.Cells[1].Metadata["execution"]; stale {
		t.Error("the times of an earlier run were kept")
	}
	if _, err := Run(t.Context(), doc, start(t, kerneltest.NewScript()), Options{Timings: true}); err != nil {
		t.Fatal(err)
	}
	times, _ := doc.Cells[0].Metadata["execution"].(Object)
	order := []string{"iopub.status.busy", "iopub.execute_input", "iopub.status.idle", "shell.execute_reply"}
	last := ""
	for _, key := range order {
		at, _ := times[key].(string)
		if at == "" || at < last {
			t.Errorf("times are %v, want them in the order %v", times, order)
		}
		last = at
	}
}

// TestRunLateOutput runs a cell whose goroutine prints while the next cell runs: the text goes to the cell it comes from.
func TestRunLateOutput(t *testing.T) {
	script := kerneltest.NewScript()
	local := start(t, script)
	doc := codeCells("later g late", "print b\ngate h")
	report, err := Run(t.Context(), doc, executorFunc(func(ctx context.Context, c kernel.Call, on func(kernel.Event)) (kernel.Reply, error) {
		return local.Execute(ctx, c, func(e kernel.Event) {
			on(e)
			switch {
			case e.Type == "execute_input" && c.ID == "c2":
				script.Open("g")
			case e.Type == "stream" && c.ID == "c1":
				script.Open("h")
			}
		})
	}), Options{})
	if err != nil || len(report.Failures) > 0 {
		t.Fatalf("report %+v, error %v", report, err)
	}
	if first, second := summary(doc.Cells[0].Outputs), summary(doc.Cells[1].Outputs); first != "stdout late+" || second != "stdout b+" {
		t.Errorf("cells hold %q and %q", first, second)
	}
}
