//go:build !unix

package source

import "os"

func openAtOnce(path string) (*os.File, error) { return os.Open(path) }
