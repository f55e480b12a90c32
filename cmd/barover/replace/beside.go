package replace

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"
	"unicode/utf8"
)

// A new file is written beside the old one, as .NAME.XXXXXXXX.new. A process that is killed meanwhile leaves it there,
// and the next one that writes the same file removes it.

// renameBeside writes a new file beside target, has ready set its rights, and renames it to target.
func renameBeside(target string, data []byte, ready func(*os.File) error) error {
	clearLeftovers(target)
	f, err := createBeside(target)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = ready(f)
	}
	if err == nil {
		err = toDisk(f)
	}
	if closedBeforeRename {
		err = errors.Join(err, f.Close())
	} else {
		defer f.Close() // it is locked until it has its name
	}
	if err == nil {
		err = os.Rename(f.Name(), target)
	}
	if err != nil {
		_ = os.Remove(f.Name())
	}
	return err
}

// toDisk makes sure that written data survives a power cut, where the file system can.
func toDisk(f *os.File) error {
	err := f.Sync()
	if errors.Is(err, errors.ErrUnsupported) || errors.Is(err, syscall.EINVAL) {
		return nil
	}
	return err
}

// createBeside makes a new hidden file in the folder of target, under an unused name, and locks it so that nobody takes
// it for a leftover.
func createBeside(target string) (*os.File, error) {
	for range 100 {
		name := filepath.Join(filepath.Dir(target), fmt.Sprintf("%s%08x%s", besideStem(target), rand.Uint32(), BesideEnd))
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666) // less the umask
		if errors.Is(err, os.ErrExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if hold(f) && stillThere(f) {
			return f, nil
		}
		_ = f.Close() // another process checks whether it is a leftover, and removes it
	}
	return nil, errors.New("there is no free name beside it")
}

// stillThere reports whether an open file still has its name.
func stillThere(f *os.File) bool {
	open, err := f.Stat()
	if err != nil {
		return false
	}
	named, err := os.Lstat(f.Name())
	return err == nil && os.SameFile(open, named)
}

const BesideEnd = ".new"

// mostOfName is how much of a file's name is in the name of the new one beside it. Names may have 255 bytes, and fewer on
// some file systems.
const mostOfName = 100

// besideStem is the beginning of the names of new files beside target.
func besideStem(target string) string {
	name := filepath.Base(target)
	if len(name) > mostOfName {
		name = name[:mostOfName]
		for !utf8.ValidString(name) && len(name) > mostOfName-utf8.UTFMax {
			name = name[:len(name)-1]
		}
	}
	return "." + name + "."
}

// clearLeftovers removes what killed processes have left beside target.
func clearLeftovers(target string) {
	folder, err := os.Open(filepath.Dir(target))
	if err != nil {
		return // a folder that cannot be read cannot be written either, or does no harm
	}
	defer folder.Close()
	names, _ := folder.Readdirnames(-1)
	for _, name := range names {
		id, ours := strings.CutPrefix(name, besideStem(target))
		id, ends := strings.CutSuffix(id, BesideEnd)
		if !ours || !ends || len(id) != 8 || strings.Trim(id, "0123456789abcdef") != "" {
			continue
		}
		if path := filepath.Join(folder.Name(), name); isLeftover(path) {
			_ = os.Remove(path)
		}
	}
}

// anHour is longer than any write takes: an older file is a leftover even where locks cannot show it.
const anHour = time.Hour

func olderThanAnHour(path string) bool {
	info, err := os.Lstat(path)
	return err == nil && info.Mode().IsRegular() && time.Since(info.ModTime()) > anHour
}
