//go:build !unix

package sketch

import "os"

func openAtOnce(path string) (*os.File, error) { return os.Open(path) }
