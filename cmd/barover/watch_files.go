package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

// settle is how long a folder must be quiet before what happened in it counts as over: editors save in several steps.
// hurry is how long that may be put off by a file that is written to without a pause.
const (
	settle = 30 * time.Millisecond
	hurry  = 10 * settle
)

// follower tells when any of a set of files may have changed. It watches folders, not files: most editors write a new
// file and put it in the old one's place, and a watch on a file stays with the old one. A file that is not there is
// waited for, and so is its folder.
type follower struct {
	events *fsnotify.Watcher
	wanted map[string]bool // files, as absolute paths
}

func newFollower() (*follower, error) {
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return nil, err
	}
	return &follower{events: w, wanted: map[string]bool{}}, nil
}

func (f *follower) close() error { return f.events.Close() }

// follow sets which files are followed from now on.
func (f *follower) follow(files []string) error {
	f.wanted = map[string]bool{}
	for _, file := range files {
		path, err := filepath.Abs(file)
		if err != nil {
			return err
		}
		f.wanted[path] = true
		if real, err := filepath.EvalSymlinks(path); err == nil {
			f.wanted[real] = true
		}
	}
	return f.arm()
}

// arm watches the folder of each wanted file, or the nearest one above it that is there, and no other.
func (f *follower) arm() error {
	want := map[string]bool{}
	for path := range f.wanted {
		want[nearestFolder(path)] = true
	}
	for _, folder := range f.events.WatchList() {
		if !want[folder] {
			_ = f.events.Remove(folder) // of a folder that is gone already, or whose events are passed over from now on
		}
	}
	// A folder that is watched already is named again: it may have been taken away and made anew since.
	for folder := range want {
		if err := f.events.Add(folder); err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
	}
	return nil
}

// nearestFolder is the folder of a file, or the nearest one above that is there.
func nearestFolder(path string) string {
	for {
		up := filepath.Dir(path)
		if info, err := os.Stat(up); err == nil && info.IsDir() || up == path {
			return up
		}
		path = up
	}
}

// concerns reports whether what happened at path may have changed a wanted file: it is one, or a folder above one.
func (f *follower) concerns(e fsnotify.Event) bool {
	if e.Op == fsnotify.Chmod {
		return false
	}
	if f.wanted[e.Name] {
		return true
	}
	for path := range f.wanted {
		if strings.HasPrefix(path, e.Name+string(filepath.Separator)) {
			return true
		}
	}
	return false
}

// next waits until something has happened to the wanted files and is over, and then watches their folders anew, as these
// may have come or gone. The error is that of ctx when it is done.
func (f *follower) next(ctx context.Context) error {
	var quiet, late <-chan time.Time
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case e, ok := <-f.events.Events:
			if !ok {
				return fsnotify.ErrClosed
			}
			if !f.concerns(e) {
				continue
			}
			if late == nil {
				late = time.After(hurry)
			}
			quiet = time.After(settle)
		case err, ok := <-f.events.Errors:
			if !ok {
				return fsnotify.ErrClosed
			}
			if !errors.Is(err, fsnotify.ErrEventOverflow) {
				return err
			}
			quiet = time.After(settle) // some events were lost: any file may have changed
		case <-quiet:
			return f.arm()
		case <-late:
			return f.arm()
		}
	}
}
