// Package replace writes a file in the place of another. Nobody ever reads half of it, and nothing is lost: the mode, the
// owner and the links of the old file stay. A file that may not be written is refused.
//
// It knows nothing of drawings and sketches. Each branch is here because a file was lost without it. Change none without
// a test that loses one.
package replace

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// File puts data in the place of the file at path. Nobody who reads it ever sees half of it, and after a power cut it is
// the old file or the new one: File writes a new file beside it, flushes it to disk, and renames it. A symbolic link
// stays one. Mode, owner and group stay. Where they cannot, or where the file has several names, it is written in place,
// with a copy of its old contents kept until that is done. A file that may not be written is refused. A file that is not
// ordinary, such as a pipe, is written to directly.
func File(ctx context.Context, path string, data []byte) error {
	info, err := os.Stat(path)
	if err == nil && info.IsDir() {
		return fmt.Errorf("%s cannot be written: it is a folder", path)
	}
	if err == nil && !info.Mode().IsRegular() {
		return unwritten(path, path, writeThrough(ctx, path, data))
	}
	target, err := Target(path)
	if err != nil {
		return unwritten(path, path, err)
	}
	if info != nil {
		err = replaceOld(target, info, data)
	} else {
		err = renameBeside(target, data, func(*os.File) error { return nil })
	}
	return unwritten(path, target, err)
}

// errKept says that the new file cannot be given the owner and group of the old one.
var errKept = errors.New("owner and group cannot be kept")

// replaceOld puts data in the place of an existing file.
func replaceOld(target string, info fs.FileInfo, data []byte) error {
	if err := mayWrite(target, info); err != nil {
		return err
	}
	if severalNames(info) {
		return writeInPlace(target, data)
	}
	err := renameBeside(target, data, func(f *os.File) error {
		if !keepOwner(f, info) {
			return errKept
		}
		return f.Chmod(info.Mode().Perm()) // after the owner, since a change of owner may remove rights
	})
	if errors.Is(err, errKept) || errors.Is(err, fs.ErrPermission) { // of the folder
		return writeInPlace(target, data)
	}
	return err
}

// mayWrite is why a file may not be written. The administrator may write anything, but a file without any right to write
// is meant to stay.
func mayWrite(target string, info fs.FileInfo) error {
	if info.Mode().Perm()&0o222 == 0 {
		return errors.New("it is read-only")
	}
	f, err := os.OpenFile(target, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	return f.Close()
}

// mostLinks is how many links are followed to a file.
const mostLinks = 40

// Target is the file that a path leads to, through links, whether it exists or not.
func Target(path string) (string, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	for range mostLinks {
		if folder, err := filepath.EvalSymlinks(filepath.Dir(path)); err == nil {
			path = filepath.Join(folder, filepath.Base(path))
		}
		info, err := os.Lstat(path)
		if err != nil || info.Mode()&fs.ModeSymlink == 0 {
			return path, nil
		}
		to, err := os.Readlink(path)
		if err != nil {
			return "", err
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(path), to)
		}
		path = to
	}
	return "", errors.New("too many links lead to it")
}

// unwritten says why a file cannot be written, by the name that was asked for, since the name of the file beside it would
// mean nothing to the user. Target is where links lead to.
func unwritten(path, target string, err error) error {
	if err == nil {
		return nil
	}
	folder := filepath.Dir(target)
	if asked, absErr := filepath.Abs(path); absErr == nil && filepath.Dir(asked) == folder {
		folder = filepath.Dir(path)
	}
	if info, statErr := os.Stat(folder); errors.Is(statErr, fs.ErrNotExist) {
		return fmt.Errorf("%s cannot be written: there is no folder %s", path, folder)
	} else if statErr == nil && !info.IsDir() {
		return fmt.Errorf("%s cannot be written: %s is a file, no folder", path, folder)
	}
	return fmt.Errorf("%s cannot be written: %w", path, pathless(err))
}

// pathless is an error of the file system without its path.
func pathless(err error) error {
	var of *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &of):
		return of.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}
