package against

import (
	"fmt"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/tools/txtar"
)

// TestSessions plays the scripts of testdata/sessions. A script is a list of cells, each followed by what it prints, shows or fails with:
//
//	-- cell --
//	x := undefined // ERROR "undefined: undefined"
//	-- prints --
//	-- shows --
//	-- fails --
//	-- interrupt --
//
// An error named in a cell must be told with that line; the text of fails is a regular expression for the message. What is not there must not happen. A cell
// with interrupt runs until it is interrupted.
func TestSessions(t *testing.T) {
	files, err := filepath.Glob("testdata/sessions/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	verdicts := map[string]verdict{}
	var mu sync.Mutex
	each(len(files), func(h *host, i int) {
		v := play(h, files[i])
		mu.Lock()
		defer mu.Unlock()
		verdicts[strings.TrimSuffix(filepath.Base(files[i]), ".txtar")] = v
	})
	holdAgainstKnown(t, "sessions.txt", verdicts)
}

// step is a cell and what it comes to.
type step struct {
	code, prints, shows, fails string
	stop                       time.Duration
}

func play(h *host, file string) verdict {
	steps, err := readSteps(file)
	if err != nil {
		return verdict{wrong, err.Error()}
	}
	for i, s := range steps {
		a, err := h.run(order{Fresh: i == 0, Code: s.code, Number: i + 1, Stop: s.stop})
		if err != nil {
			return verdict{wrong, fmt.Sprintf("cell %d %v", i+1, err)}
		}
		if a.Err != nil && a.Err.Name == "Refused" && !strings.Contains(s.code+s.fails, "Refused") {
			return verdict{refused, a.Err.Message}
		}
		if complaint := s.compare(a); complaint != "" {
			return verdict{wrong, fmt.Sprintf("cell %d: %s", i+1, complaint)}
		}
	}
	return verdict{kind: pass}
}

func readSteps(file string) (steps []step, err error) {
	archive, err := txtar.ParseFile(file)
	if err != nil {
		return nil, err
	}
	for _, f := range archive.Files {
		if f.Name == "cell" {
			steps = append(steps, step{code: string(f.Data)})
			continue
		}
		if len(steps) == 0 {
			return nil, fmt.Errorf("%s: %s before any cell", file, f.Name)
		}
		last := &steps[len(steps)-1]
		if f.Name == "interrupt" {
			last.stop, last.fails = 50*time.Millisecond, "Interrupted"
			continue
		}
		part, ok := map[string]*string{"prints": &last.prints, "shows": &last.shows, "fails": &last.fails}[f.Name]
		if !ok {
			return nil, fmt.Errorf("%s: what is %s?", file, f.Name)
		}
		*part = string(f.Data)
	}
	return steps, nil
}

var errorComment = regexp.MustCompile(`// ERROR "(.*)"`)

// compare says in what a cell came to something else than the script has, or nothing.
func (s step) compare(a answer) string {
	if a.Stdout != s.prints {
		return fmt.Sprintf("prints %.200q, want %.200q (%v)", a.Stdout, s.prints, a.Err)
	}
	if want := strings.TrimSpace(s.shows); strings.TrimSpace(a.Value) != want {
		return fmt.Sprintf("shows %.200q, want %.200q (%v)", a.Value, want, a.Err)
	}
	told := ""
	if a.Err != nil {
		told = a.Err.Error() + "\n" + strings.Join(a.Err.Traceback, "\n")
	}
	expected := false
	for i, line := range strings.Split(s.code, "\n") {
		m := errorComment.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		expected = true
		if !regexp.MustCompile(fmt.Sprintf(`line %d, column \d+.*%s`, i+1, m[1])).MatchString(told) {
			return fmt.Sprintf("line %d: no error %q in %.300q", i+1, m[1], told)
		}
	}
	if want := strings.TrimSpace(s.fails); want != "" {
		expected = true
		if !regexp.MustCompile(want).MatchString(told) {
			return fmt.Sprintf("fails with %.300q, want %q", told, want)
		}
	}
	if a.Err != nil && !expected {
		return a.Err.Error()
	}
	return ""
}
