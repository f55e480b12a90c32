package replace

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"
)

// writeInPlace writes over a file that must stay the same file. Meanwhile a copy of its contents is beside it, or among
// the temporary files where that folder cannot be written. If the new text cannot be written, the old one is put back; if
// that fails too, the copy stays and is named.
func writeInPlace(target string, data []byte) error {
	old, err := os.ReadFile(target)
	if err != nil {
		return err
	}
	kept, err := safeCopy(target, old)
	if err != nil {
		return fmt.Errorf("there is no room for a copy of its contents: %w", pathless(err))
	}
	if err = overwrite(target, data); err != nil {
		if overwrite(target, old) != nil {
			return fmt.Errorf("%w; its old contents are in %s", pathless(err), kept)
		}
	}
	return errors.Join(err, os.Remove(kept))
}

// overwrite writes over a file and only then cuts it to its new length: on a full disk it can use the space that it has.
func overwrite(target string, data []byte) error {
	f, err := os.OpenFile(target, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Truncate(int64(len(data)))
	}
	if err == nil {
		err = toDisk(f)
	}
	return errors.Join(err, f.Close())
}

// safeCopy keeps a text where only the owner can read it, and returns the place.
func safeCopy(target string, text []byte) (string, error) {
	var err error
	for _, folder := range []string{filepath.Dir(target), os.TempDir()} {
		name := filepath.Join(folder, fmt.Sprintf("%.100s.%08x.old", filepath.Base(target), rand.Uint32()))
		var f *os.File
		if f, err = os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600); err != nil {
			continue
		}
		_, err = f.Write(text)
		if err == nil {
			err = toDisk(f)
		}
		if err = errors.Join(err, f.Close()); err == nil {
			return name, nil
		}
		_ = os.Remove(name)
	}
	return "", err
}

// writeThrough writes to a pipe or a device. It ends with ctx.
func writeThrough(ctx context.Context, path string, data []byte) error {
	f, err := openThrough(path)
	if err != nil {
		return err
	}
	stop := context.AfterFunc(ctx, func() { _ = f.SetWriteDeadline(time.Now()) })
	defer stop()
	_, err = f.Write(data)
	if err = errors.Join(err, f.Close()); err != nil && ctx.Err() != nil {
		return ctx.Err()
	}
	return err
}
