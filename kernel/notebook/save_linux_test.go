package notebook

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
)

// TestSaveReadOnlyFolder writes into a folder that refuses: the old file stays as it was. Root is let into any folder, so the test's thread lays its rights
// on files down first; it is locked and never unlocked, so that it ends with the test.
func TestSaveReadOnlyFolder(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.ipynb")
	if err := errors.Join(os.WriteFile(path, []byte("old"), 0o666), os.Chmod(path, 0o666), os.Chmod(dir, 0o555)); err != nil {
		t.Fatal(err)
	}
	defer os.Chmod(dir, 0o755)
	result := make(chan error)
	go func() {
		runtime.LockOSThread()
		if os.Geteuid() == 0 {
			for up := dir; up != os.TempDir() && up != "/"; up = filepath.Dir(up) {
				os.Chmod(up, 0o555)
			}
			if err := syscall.Setfsuid(65534); err != nil {
				result <- err
				return
			}
		}
		result <- Save(path, []byte("new"))
	}()
	err := <-result
	if !errors.Is(err, fs.ErrPermission) || !strings.Contains(err.Error(), path+" cannot be written, its folder "+dir+" may be read-only") {
		t.Errorf("got error %v", err)
	}
	if got, err := os.ReadFile(path); string(got) != "old" {
		t.Errorf("the file holds %q, error %v", got, err)
	}
	only(t, dir, "a.ipynb")
}
