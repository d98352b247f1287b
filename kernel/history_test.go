package kernel_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"foreplane/kernel"
	"foreplane/kernel/wire"
)

// recall asks for history and returns it one entry a word: the input, followed by =output if that was asked for and there is one.
func recall(t *testing.T, l *kernel.Local, content string) string {
	t.Helper()
	var in map[string]any
	unmarshal(t, content, &in)
	var reply struct {
		Status  string
		History [][3]any
	}
	if err := l.Request(t.Context(), wire.Shell, "history_request", in, &reply); err != nil || reply.Status != "ok" {
		t.Fatalf("%s: %+v, %v", content, reply, err)
	}
	var words []string
	for _, row := range reply.History {
		switch x := row[2].(type) {
		case string:
			words = append(words, fmt.Sprint(row[1], ":", x))
		case []any:
			words = append(words, fmt.Sprint(row[1], ":", x[0], "=", x[1]))
		}
	}
	return strings.Join(words, " ")
}

func checkRecall(t *testing.T, l *kernel.Local, cases [][2]string) {
	t.Helper()
	for _, c := range cases {
		if got := recall(t, l, c[0]); got != c[1] {
			t.Errorf("%s\n got %s\nwant %s", c[0], got, c[1])
		}
	}
}

func TestHistory(t *testing.T) {
	file := filepath.Join(t.TempDir(), "new", "history.jsonl")
	cells := func(l *kernel.Local, codes ...string) {
		for _, code := range codes {
			execute(t, l, kernel.Call{Code: code})
		}
	}
	first := newLocal(t, kernel.Options{History: file})
	cells(first, "clear", "", "clear")
	time.Sleep(2 * time.Millisecond) // sessions are told apart by the millisecond they begin in
	l := newLocal(t, kernel.Options{History: file})
	cells(l, "value", "value a", "fail")
	execute(t, l, kernel.Call{Code: "repeat 0 x", NoHistory: true})
	execute(t, l, kernel.Call{Code: "repeat 0 y", Silent: true})
	cells(l, "clear", "set\ta")
	all := "1:clear 3:clear 1:value 2:value a 3:fail 4:clear 5:set\ta"
	checkRecall(t, l, [][2]string{
		{`{"hist_access_type":"tail"}`, all},
		{`{"hist_access_type":"tail","n":100,"raw":true}`, all},
		{`{"hist_access_type":"tail","n":2}`, "4:clear 5:set\ta"},
		{`{"hist_access_type":"tail","n":0}`, ""},
		{`{"hist_access_type":"tail","n":-1}`, ""},
		{`{"hist_access_type":"tail","n":4,"output":true}`, "2:value a=a 3:fail=<nil> 4:clear=<nil> 5:set\ta=<nil>"},
		{`{"hist_access_type":"range"}`, "1:value 2:value a 3:fail 4:clear 5:set\ta"},
		{`{"hist_access_type":"range","session":0,"start":2,"stop":4}`, "2:value a 3:fail"},
		{`{"hist_access_type":"range","session":0,"start":2,"stop":2}`, ""},
		{`{"hist_access_type":"range","session":-1,"start":2}`, "3:clear"},
		{`{"hist_access_type":"range","session":-2}`, ""},
		{`{"hist_access_type":"range","session":7}`, ""},
		{`{"hist_access_type":"search"}`, all},
		{`{"hist_access_type":"search","pattern":"clear"}`, "1:clear 3:clear 4:clear"},
		{`{"hist_access_type":"search","pattern":"clear","unique":true}`, "4:clear"},
		{`{"hist_access_type":"search","pattern":"*a*","n":3}`, "3:fail 4:clear 5:set\ta"},
		{`{"hist_access_type":"search","pattern":"?a?l"}`, "3:fail"},
		{`{"hist_access_type":"search","pattern":"s.*"}`, ""},
		{`{"hist_access_type":"search","pattern":"lear"}`, ""},
		{`{"hist_access_type":"search","pattern":"clea"}`, ""},
		{`{"hist_access_type":"search","pattern":"*value","output":true}`, "1:value="},
	})
}

func TestHistoryInMemory(t *testing.T) {
	l := newLocal(t, kernel.Options{})
	execute(t, l, kernel.Call{Code: "value 1"})
	checkRecall(t, l, [][2]string{{`{"hist_access_type":"tail"}`, "1:value 1"}})
}

// TestHistoryShared lets several kernels write to one file at once. Nothing may get lost or mixed up.
func TestHistoryShared(t *testing.T) {
	file := filepath.Join(t.TempDir(), "history.jsonl")
	const kernels, cells = 4, 20
	long := strings.Repeat("x", 5_000)
	var group sync.WaitGroup
	for n := range kernels {
		l := newLocal(t, kernel.Options{History: file})
		group.Go(func() {
			for i := range cells {
				execute(t, l, kernel.Call{Code: fmt.Sprintf("value %d/%d/%s", n, i, long)})
			}
		})
	}
	group.Wait()
	l := newLocal(t, kernel.Options{History: file})
	for n := range kernels {
		pattern := fmt.Sprintf(`{"hist_access_type":"search","pattern":"value %d/*","output":true}`, n)
		got := strings.Split(recall(t, l, pattern), ":value ")[1:]
		if len(got) != cells {
			t.Errorf("kernel %d: %d of %d inputs", n, len(got), cells)
		}
	}
}

// TestHistoryDamaged starts kernels on files that are partly or wholly useless.
func TestHistoryDamaged(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "history.jsonl")
	lines := `{"session":5,"line":1,"input":"good"}` + "\n" + `{"session":5,"li` + "\nnonsense\n\n[]\n" + `{"session":5,"line":2,"input":"also"}` + "\n" +
		`{"session":5,"line":1,"output":"42"}` + "\n" + `{"session":9,"line":9,"output":"of nothing"}` + "\n"
	if err := os.WriteFile(file, []byte(lines), 0o600); err != nil {
		t.Fatal(err)
	}
	l := newLocal(t, kernel.Options{History: file})
	checkRecall(t, l, [][2]string{{`{"hist_access_type":"tail","output":true}`, "1:good=42 2:also=<nil>"}})

	l = newLocal(t, kernel.Options{History: dir}) // not a file at all
	execute(t, l, kernel.Call{Code: "value 1"})
	checkRecall(t, l, [][2]string{{`{"hist_access_type":"tail"}`, "1:value 1"}})
}

// TestHistoryBounded looks at what keeps the file and the memory small.
func TestHistoryBounded(t *testing.T) {
	file := filepath.Join(t.TempDir(), "history.jsonl")
	line := `{"session":5,"line":%d,"input":"` + strings.Repeat("x", 60) + `"}` + "\n"
	var text strings.Builder
	const lines = 25_000
	for i := range lines {
		fmt.Fprintf(&text, line, i+1)
	}
	if err := os.WriteFile(file, []byte(text.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	l := newLocal(t, kernel.Options{History: file})
	if _, err := os.Stat(file); !os.IsNotExist(err) {
		t.Errorf("a file of %d bytes was not set aside: %v", text.Len(), err)
	}
	execute(t, l, kernel.Call{Code: "value " + strings.Repeat("y", 2<<20)})
	execute(t, l, kernel.Call{Code: "clear"})
	if info, err := os.Stat(file); err != nil || info.Size() > 1000 || info.Mode().Perm() != 0o600 {
		t.Errorf("new file: %v, %v", info, err)
	}
	words := strings.Fields(recall(t, l, `{"hist_access_type":"tail","n":100000}`))
	if n := len(words); n < 2_000 || n > 4_001 || words[n-1] != "2:clear" || !strings.HasPrefix(words[n-2], fmt.Sprint(lines, ":x")) {
		t.Errorf("%d inputs kept, the last two %.20q %.20q", n, words[n-2], words[n-1])
	}
	next := newLocal(t, kernel.Options{History: file})
	if got := recall(t, next, `{"hist_access_type":"tail","n":1}`); got != "2:clear" {
		t.Errorf("the next kernel recalls %.40q", got)
	}
}
