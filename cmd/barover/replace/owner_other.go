//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd)

package replace

import (
	"io/fs"
	"os"
)

// Windows cannot rename an open file.
const closedBeforeRename = true

func severalNames(fs.FileInfo) bool { return false }

func keepOwner(*os.File, fs.FileInfo) bool { return true }

func hold(*os.File) bool { return true }

func isLeftover(path string) bool { return olderThanAnHour(path) }

func openThrough(path string) (*os.File, error) { return os.OpenFile(path, os.O_WRONLY, 0) }
