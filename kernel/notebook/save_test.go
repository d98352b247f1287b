package notebook

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestSave(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.ipynb")
	for _, text := range []string{"first", "second, longer", ""} {
		if err := Save(path, []byte(text)); err != nil {
			t.Fatal(err)
		}
		if got, _ := os.ReadFile(path); string(got) != text {
			t.Errorf("holds %q, want %q", got, text)
		}
	}
	only(t, dir, "a.ipynb")
}

func TestSaveKeepsPermissionsAndLinks(t *testing.T) {
	dir := t.TempDir()
	path, link := filepath.Join(dir, "a.ipynb"), filepath.Join(dir, "link.ipynb")
	if err := errors.Join(os.WriteFile(path, nil, 0o640), os.Chmod(path, 0o640), os.Symlink("a.ipynb", link)); err != nil {
		t.Fatal(err)
	}
	if err := Save(link, []byte("x")); err != nil {
		t.Fatal(err)
	}
	info, err := os.Lstat(path)
	if err != nil || info.Mode() != 0o640 || info.Size() != 1 {
		t.Errorf("the file behind the link is %v, error %v", info, err)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link is gone: %v, error %v", info, err)
	}
}

func TestSaveRefuses(t *testing.T) {
	dir := t.TempDir()
	missing := filepath.Join(dir, "none", "a.html")
	if err := Save(missing, nil); !errors.Is(err, fs.ErrNotExist) || !strings.Contains(err.Error(), "there is no folder "+filepath.Dir(missing)) {
		t.Errorf("a missing folder is reported as %v", err)
	}
	if err := Save(dir, nil); err == nil || !strings.Contains(err.Error(), "is not a file") {
		t.Errorf("a folder in the way is reported as %v", err)
	}
	only(t, dir)
}

// only checks that dir holds just the named files: no temporary one is left.
func only(t *testing.T, dir string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if strings.Join(got, " ") != strings.Join(names, " ") {
		t.Errorf("the folder holds %q, want %q", got, names)
	}
}
