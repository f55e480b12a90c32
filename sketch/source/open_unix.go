//go:build unix

package source

import (
	"os"
	"syscall"
)

// openAtOnce opens a file to read. It does not wait for a writer if the file is a pipe.
func openAtOnce(path string) (*os.File, error) {
	return os.OpenFile(path, os.O_RDONLY|syscall.O_NONBLOCK, 0)
}
