package follow

import (
	"errors"
	"os"
	"runtime"
	"strings"
	"syscall"
)

// limitInWords explains a limit of the system that keeps folders from being watched, and what to do about it. The system
// itself says that the disk is full, or that too many files are open.
func limitInWords(err error) error {
	switch {
	case errors.Is(err, syscall.ENOSPC):
		return errors.New("the system lets this user watch no more folders" + remedy("fs.inotify.max_user_watches", "524288"))
	case errors.Is(err, syscall.EMFILE) && canOpen():
		return errors.New("the system lets this user run no more programs that watch files" + remedy("fs.inotify.max_user_instances", "512"))
	case errors.Is(err, syscall.EMFILE):
		return errors.New("this program may open no more files; raise its limit: ulimit -n 4096")
	}
	var lines []string
	for _, l := range strings.Split(err.Error(), "\n") { // one of each kind, for many folders
		if len(lines) == 0 || lines[len(lines)-1] != l {
			lines = append(lines, l)
		}
	}
	return errors.New(strings.Join(lines, "; "))
}

func remedy(limit, value string) string {
	const end = "; end others that do"
	if runtime.GOOS != "linux" {
		return end
	}
	return " (" + limit + ")" + end + ", or raise the limit: sudo sysctl " + limit + "=" + value
}

// canOpen reports whether another file can be opened.
func canOpen() bool {
	f, err := os.Open(os.DevNull)
	if err != nil {
		return false
	}
	return f.Close() == nil
}
