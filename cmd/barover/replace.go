package main

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
)

// replaceFile puts data in the place of the file at path so that nobody who reads it ever sees half of it: it writes a
// new file beside it and renames. A symbolic link stays one, and its target is replaced; what is no ordinary file, like
// a pipe, is written to as it is.
func replaceFile(path string, data []byte) error {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	mode := fs.FileMode(0o666) // less what the umask takes
	if info, err := os.Stat(path); err == nil {
		if info.IsDir() {
			return fmt.Errorf("%s cannot be written: it is a folder", path)
		}
		if !info.Mode().IsRegular() {
			if err := os.WriteFile(path, data, 0o666); err != nil {
				return unwritten(path, err)
			}
			return nil
		}
		mode = info.Mode().Perm()
	}
	beside, err := writeBeside(path, data, mode)
	if err != nil {
		return unwritten(path, err)
	}
	if err := os.Rename(beside, path); err != nil {
		return unwritten(path, errors.Join(err, os.Remove(beside)))
	}
	return nil
}

// unwritten tells why a file cannot be written, by the name that was asked for: that of the file beside it says nothing to
// anybody.
func unwritten(path string, err error) error {
	folder := filepath.Dir(path)
	if info, statErr := os.Stat(folder); errors.Is(statErr, fs.ErrNotExist) {
		return fmt.Errorf("%s cannot be written: there is no folder %s", path, folder)
	} else if statErr == nil && !info.IsDir() {
		return fmt.Errorf("%s cannot be written: %s is a file, no folder", path, folder)
	}
	var of *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &of):
		err = of.Err
	case errors.As(err, &link):
		err = link.Err
	}
	return fmt.Errorf("%s cannot be written: %w", path, err)
}

// writeBeside writes a new hidden file in the folder of path, under a name that no other run uses.
func writeBeside(path string, data []byte, mode fs.FileMode) (string, error) {
	folder, name := filepath.Split(path)
	for range 100 {
		beside := filepath.Join(folder, fmt.Sprintf(".%s.%08x.new", name, rand.Uint32()))
		f, err := os.OpenFile(beside, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return "", err
		}
		_, err = f.Write(data)
		if err = errors.Join(err, f.Close()); err != nil {
			return "", errors.Join(err, os.Remove(beside))
		}
		return beside, nil
	}
	return "", fmt.Errorf("no free name beside %s", path)
}
