package notebook

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Save replaces the file at path by data, as a whole or not at all: it writes a new file beside it and renames that one when all is on disk. A symbolic link
// is followed, and an existing file keeps its permissions.
func Save(path string, data []byte) error {
	target, mode, err := destination(path)
	if err != nil {
		return err
	}
	temporary := filepath.Join(filepath.Dir(target), fmt.Sprintf(".%s.%s.part", filepath.Base(target), rand.Text()[:8]))
	if err := writeNew(temporary, mode, data); err != nil {
		os.Remove(temporary) // there may be none
		return unwritable(path, err)
	}
	if err := os.Rename(temporary, target); err != nil {
		os.Remove(temporary)
		return unwritable(path, err)
	}
	return nil
}

// destination follows symbolic links and returns the permissions of a file that is there already, 0 if there is none.
func destination(path string) (string, fs.FileMode, error) {
	target, err := filepath.EvalSymlinks(path)
	if errors.Is(err, fs.ErrNotExist) {
		return path, 0, nil
	}
	if err != nil {
		return "", 0, unwritable(path, err)
	}
	info, err := os.Stat(target)
	if err != nil {
		return "", 0, unwritable(path, err)
	}
	if !info.Mode().IsRegular() {
		return "", 0, unwritable(path, errors.New("it is there already and is not a file"))
	}
	return target, info.Mode().Perm(), nil
}

func writeNew(path string, mode fs.FileMode, data []byte) (err error) {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	if mode != 0 {
		if err := file.Chmod(mode); err != nil {
			return err
		}
	}
	if _, err := file.Write(data); err != nil {
		return err
	}
	return file.Sync()
}

// unwritable names the file that was meant, not the temporary one; a caller still finds the cause with errors.Is.
func unwritable(path string, err error) error {
	var cause *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &cause):
		err = cause.Err
	case errors.As(err, &link):
		err = link.Err
	}
	switch {
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s cannot be written, its folder %s may be read-only: %w", path, filepath.Dir(path), err)
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s cannot be written, there is no folder %s: %w", path, filepath.Dir(path), err)
	}
	return fmt.Errorf("%s cannot be written: %w", path, err)
}
