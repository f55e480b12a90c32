//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package replace

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// An open file can be renamed.
const closedBeforeRename = false

// severalNames reports whether a file has more than one name: a new file would separate them.
func severalNames(info fs.FileInfo) bool {
	s, ok := info.Sys().(*syscall.Stat_t)
	return ok && s.Nlink > 1
}

// keepOwner gives a new file the owner and group of an old one, and reports whether it has them.
func keepOwner(f *os.File, old fs.FileInfo) bool {
	was, ok := old.Sys().(*syscall.Stat_t)
	if !ok {
		return true
	}
	info, err := f.Stat()
	if err != nil {
		return false
	}
	is, ok := info.Sys().(*syscall.Stat_t)
	if !ok || is.Uid == was.Uid && is.Gid == was.Gid {
		return ok
	}
	return f.Chown(int(was.Uid), int(was.Gid)) == nil
}

// hold locks a file that is being written, and reports whether nobody else has a lock. A file system without locks locks
// nothing.
func hold(f *os.File) bool {
	return !errors.Is(syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB), syscall.EWOULDBLOCK)
}

// isLeftover reports whether nobody holds a lock on an unfinished file.
func isLeftover(path string) bool {
	f, err := os.OpenFile(path, os.O_RDONLY|syscall.O_NONBLOCK|syscall.O_NOFOLLOW, 0)
	if err != nil {
		return false
	}
	defer f.Close()
	switch err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); {
	case err == nil:
		return stillThere(f)
	case errors.Is(err, syscall.EWOULDBLOCK):
		return false
	}
	return olderThanAnHour(path)
}

// openThrough opens a pipe or a device to write to. It does not wait for a reader of a pipe.
func openThrough(path string) (*os.File, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|syscall.O_NONBLOCK, 0)
	if errors.Is(err, syscall.ENXIO) {
		return nil, errors.New("nobody reads from this pipe")
	}
	return f, err
}
