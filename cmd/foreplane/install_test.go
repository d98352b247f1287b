package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
)

// TestInstall installs twice: the second time over the first.
func TestInstall(t *testing.T) {
	data, err := dataDir(false, t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(data, "kernels", kernelName)
	for range 2 {
		if err := install(dir, nil); err != nil {
			t.Fatal(err)
		}
	}
	text, err := os.ReadFile(filepath.Join(dir, "kernel.json"))
	if err != nil {
		t.Fatal(err)
	}
	var spec kernelspec
	if err := json.Unmarshal(text, &spec); err != nil {
		t.Fatal(err)
	}
	if spec.Language != "go" || spec.InterruptMode != "message" || len(spec.Argv) != 3 || spec.Argv[2] != "{connection_file}" {
		t.Errorf("kernel.json: %s", text)
	}
	for _, name := range []string{"logo-32x32.png", "logo-64x64.png", "logo-svg.svg"} {
		if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
			t.Error(err)
		}
	}
	if entries, err := os.ReadDir(filepath.Dir(dir)); err != nil || len(entries) != 1 {
		t.Errorf("left behind beside the kernelspec: %v, %v", entries, err)
	}
}

func TestDataDir(t *testing.T) {
	t.Setenv("JUPYTER_DATA_DIR", "/somewhere")
	if dir, err := dataDir(false, ""); err != nil || dir != "/somewhere" {
		t.Errorf("dataDir: %q, %v", dir, err)
	}
}
