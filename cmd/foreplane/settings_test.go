package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestSettingsAreInstalled holds that the kernelspec starts the kernel with what install was given, and with nothing else.
func TestSettingsAreInstalled(t *testing.T) {
	for _, test := range []struct{ given, want []string }{
		{nil, nil},
		{[]string{"--memory", "1.5GiB", "--files", "1024", "--time", "10m", "--output", "16MiB", "--stack=64MiB", "--rebuild"},
			[]string{"--files=1024", "--memory=1536MiB", "--output=16MiB", "--rebuild=true", "--stack=64MiB", "--time=10m0s"}},
	} {
		prefix := t.TempDir()
		cmd := installCommand()
		cmd.SetArgs(append([]string{"--prefix", prefix}, test.given...))
		if err := cmd.Execute(); err != nil {
			t.Fatal(err)
		}
		text, err := os.ReadFile(filepath.Join(prefix, "share", "jupyter", "kernels", kernelName, "kernel.json"))
		if err != nil {
			t.Fatal(err)
		}
		var spec kernelspec
		if err := json.Unmarshal(text, &spec); err != nil {
			t.Fatal(err)
		}
		if got := spec.Argv[3:]; !slices.Equal(got, test.want) {
			t.Errorf("%q: the kernel is started with %q, want %q", test.given, got, test.want)
		}
	}
}

// TestSettingsAreChecked holds that settings that cannot work are refused by both commands, with what would work.
func TestSettingsAreChecked(t *testing.T) {
	for given, says := range map[string]string{
		"--memory=4G":                     "want a size such as 512MiB or 4GiB",
		"--memory=4":                      "want a size",
		"--memory=-1GiB":                  "want a size",
		"--memory=NaNGiB":                 "want a size",
		"--memory=64MiB":                  "--memory 64MiB: want 256MiB to 1TiB",
		"--memory=2TiB":                   "--memory 2TiB: want 256MiB to 1TiB",
		"--memory=512MiB --stack=65MiB":   "--stack 65MiB: want at least 1MiB and at most an eighth of --memory",
		"--stack=512KiB":                  "--stack 512KiB: want at least 1MiB",
		"--output=1KiB":                   "--output 1KiB: want 64KiB to 4GiB",
		"--files=3":                       "--files 3: want 64 to 1048576",
		"--files=-1":                      "--files -1: want",
		"--time=10":                       "missing unit",
		"--time=10ms":                     "--time 10ms: want 1s or more, or 0 for no limit",
		"--time=-1s":                      "--time -1s: want",
		"--files=1024 --time=0 --depth=3": "unknown flag: --depth",
	} {
		install, kernel := installCommand(), kernelCommand()
		install.SetArgs(append(strings.Fields(given), "--prefix", t.TempDir()))
		kernel.SetArgs(append(strings.Fields(given), "/no/such/file"))
		install.SilenceUsage, install.SilenceErrors, kernel.SilenceUsage, kernel.SilenceErrors = true, true, true, true
		for _, err := range []error{install.Execute(), kernel.Execute()} {
			if err == nil || !strings.Contains(err.Error(), says) {
				t.Errorf("%s: %v, want %q", given, err, says)
			}
		}
	}
}

// TestLimitsOfAKernel starts a kernel with limits, and runs into them over its sockets: each is named, and the next cell runs.
func TestLimitsOfAKernel(t *testing.T) {
	k := startKernelWith(t, []string{"--memory=384MiB", "--files=100", "--output=64KiB", "--time=1s"})
	c := k.dial(t, "peer")
	for _, test := range []struct{ code, failure, text string }{
		{"for {}", "TimeLimit: cell 1, line 1, column 1: interrupted: it took longer than 1s, the limit that is set by --time", ""},
		{"select {}", "TimeLimit: cell 2", ""},
		{"var files []*os.File\nfor {\n\tfiles = append(files, must(os.Open(\"/dev/null\")))\n}", "Error: cell 3, line 3, column 2: open /dev/null: too many open files: the limit is 100, set by --files", ""},
		{"fmt.Print(strings.Repeat(\"0123456789abcdef\", 10_000))", "", "cell 4 prints too much: what follows is folded; its full text goes to "},
		{"b := make([]byte, 800<<20)\nfor i := range b {\n\tb[i] = 1\n}", "WorkerLost: cell 5 ended the process that runs the cells: out of memory, ", ""},
		{"fmt.Println(\"still here\")", "", "still here"},
	} {
		r := c.execute(test.code, nil, nil)
		if !strings.HasPrefix(r.failure, test.failure) || test.failure == "" && r.failure != "" || !strings.Contains(r.text, test.text) {
			t.Errorf("%s\ngot  %q, %.200q\nwant %q, %q", test.code, r.failure, r.text, test.failure, test.text)
		}
	}
}
