//go:build unix

package source

import (
	"os"
	"syscall"
)

// openAtOnce opens a file to read. A pipe that nobody writes to would keep the program waiting otherwise.
func openAtOnce(path string) (*os.File, error) {
	return os.OpenFile(path, os.O_RDONLY|syscall.O_NONBLOCK, 0)
}
