package replace

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
)

const nobody = 65534

// asNobody does something with the rights of nobody, on a thread of its own. It takes root to begin with.
func asNobody(t *testing.T, do func()) {
	t.Helper()
	if os.Getuid() != 0 {
		t.Skip("root alone can be somebody else")
	}
	done := make(chan syscall.Errno)
	go func() {
		runtime.LockOSThread() // and never unlocked: the thread ends with the goroutine
		for _, id := range []uintptr{syscall.SYS_SETRESGID, syscall.SYS_SETRESUID} {
			if _, _, errno := syscall.RawSyscall(id, nobody, nobody, nobody); errno != 0 {
				done <- errno
				return
			}
		}
		do()
		done <- 0
	}()
	if errno := <-done; errno != 0 {
		t.Skip(errno)
	}
}

// openFolder is a folder that anybody may go to.
func openFolder(t *testing.T, mode os.FileMode) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "barover-test")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	if err := os.Chmod(dir, mode); err != nil {
		t.Fatal(err)
	}
	return dir
}

func ownerOf(t *testing.T, path string) (uid, gid uint32, inode uint64) {
	t.Helper()
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	s := info.Sys().(*syscall.Stat_t)
	return s.Uid, s.Gid, s.Ino
}

// The owner and group of a file stay: given to the new one by who may, and else by writing in place.
func TestReplaceFileKeepsOwner(t *testing.T) {
	dir := openFolder(t, 0o777)
	path := filepath.Join(dir, "mill.motion")
	fileOf(t, path, "one", 0o666)
	if err := os.Chown(path, nobody, 4); err != nil {
		t.Skip(err)
	}
	if err := File(t.Context(), path, []byte("two")); err != nil {
		t.Fatal(err)
	}
	if uid, gid, _ := ownerOf(t, path); uid != nobody || gid != 4 || textOf(t, path) != "two" {
		t.Errorf("owner and group have become %d, %d", uid, gid)
	}
	if err := os.Chown(path, 0, 4); err != nil {
		t.Fatal(err)
	}
	_, _, was := ownerOf(t, path)
	var err error
	asNobody(t, func() { err = File(t.Context(), path, []byte("three")) })
	if uid, gid, is := ownerOf(t, path); err != nil || uid != 0 || gid != 4 || is != was || textOf(t, path) != "three" {
		t.Errorf("%v; owner and group have become %d, %d; the same file: %v; it holds %q", err, uid, gid, is == was, textOf(t, path))
	}
	if list, err := os.ReadDir(dir); err != nil || len(list) != 1 {
		t.Errorf("the folder holds %v (%v)", list, err)
	}
}

// A file in a folder that takes no new ones is written in place; a file that may not be written is left alone.
func TestReplaceFileInLockedFolder(t *testing.T) {
	dir := openFolder(t, 0o755)
	open, shut := filepath.Join(dir, "open.svg"), filepath.Join(dir, "shut.svg")
	fileOf(t, open, "one", 0o666)
	fileOf(t, shut, "one", 0o644)
	var errOpen, errShut, errNew error
	asNobody(t, func() {
		errOpen = File(t.Context(), open, []byte("two"))
		errShut = File(t.Context(), shut, []byte("two"))
		errNew = File(t.Context(), filepath.Join(dir, "new.svg"), []byte("two"))
	})
	if errOpen != nil || textOf(t, open) != "two" {
		t.Errorf("%v; it holds %q", errOpen, textOf(t, open))
	}
	for _, err := range []error{errShut, errNew} {
		if !errors.Is(err, os.ErrPermission) || !strings.HasSuffix(err.Error(), ".svg cannot be written: permission denied") {
			t.Errorf("%v", err)
		}
	}
	if textOf(t, shut) != "one" {
		t.Errorf("%s was written", shut)
	}
}

// smallDisk is a folder on a disk of 64 kB.
func smallDisk(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=64k,mode=755"); err != nil {
		t.Skip("no small disk here: ", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(dir, syscall.MNT_DETACH) })
	return dir
}

// On a full disk the old file stays whole, whichever way it is written, and nothing else is left there.
func TestReplaceFileFullDisk(t *testing.T) {
	dir := smallDisk(t)
	one, two := filepath.Join(dir, "one.svg"), filepath.Join(dir, "two.svg")
	fileOf(t, one, strings.Repeat("a", 10_000), 0o644)
	fileOf(t, two, strings.Repeat("b", 10_000), 0o644)
	if err := os.Link(two, filepath.Join(dir, "again.svg")); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{one, two} {
		was := textOf(t, path)
		err := File(t.Context(), path, make([]byte, 100_000))
		if !errors.Is(err, syscall.ENOSPC) || textOf(t, path) != was {
			t.Errorf("%v; it has %d bytes", err, len(textOf(t, path)))
		}
	}
	if list, err := os.ReadDir(dir); err != nil || len(list) != 3 {
		t.Errorf("the folder holds %v (%v)", list, err)
	}
}
