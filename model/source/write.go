package source

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
)

// WriteFile replaces the file at path by data, or leaves it as it was: data goes to a
// new file beside it, reaches the disk, and takes the old one's name in one step. The
// permissions of an old file are kept; a read-only one is left alone. A symbolic link is
// followed.
func WriteFile(path string, data []byte) error {
	return writeFile(path, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

func writeFile(path string, write func(io.Writer) error) error {
	if err := replace(path, write); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, reason(err))
	}
	return nil
}

func replace(path string, write func(io.Writer) error) (err error) {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	mode := fs.FileMode(0)
	switch old, err := os.Stat(path); {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	case old.IsDir():
		return errors.New("it is a folder")
	case !old.Mode().IsRegular():
		return errors.New("it is not a plain file")
	case old.Mode().Perm()&0o200 == 0:
		return errors.New("it is read-only")
	default:
		mode = old.Mode().Perm()
	}
	f, err := beside(path)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			f.Close() // a second close does no harm
			os.Remove(f.Name())
		}
	}()
	if mode != 0 {
		if err := f.Chmod(mode); err != nil {
			return err
		}
	}
	if err := write(f); err != nil {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	if err := os.Rename(f.Name(), path); err != nil {
		var link *os.LinkError
		if errors.As(err, &link) {
			return link.Err
		}
		return err
	}
	syncFolder(filepath.Dir(path))
	return nil
}

// beside makes a new file next to path with the permissions that the user's umask gives,
// which os.CreateTemp would not.
func beside(path string) (*os.File, error) {
	dir, base := filepath.Split(path)
	var err error
	for i := range 100 {
		var f *os.File
		name := filepath.Join(dir, "."+base+"."+strconv.Itoa(os.Getpid())+"-"+strconv.Itoa(i))
		f, err = os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, fs.ErrExist) {
			return f, err
		}
	}
	return nil, err
}

// syncFolder makes the new name durable. The file is whole either way, and not every
// file system can do this, so a failure is no failure of the write.
func syncFolder(dir string) {
	if d, err := os.Open(dir); err == nil {
		d.Sync()
		d.Close()
	}
}
