// Package follow notices when the files of a sketch have changed, whatever an editor, a shared folder or version control
// does to them, and reads the sketch again. It draws and prints nothing.
//
// A newcomer may change how long it waits. After a change to how folders are watched, run the rough test of the watch in
// its long form.
package follow

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

// settle is how long a folder must be quiet before a change counts as finished, since editors save in several steps.
// hurry is how long a file that is written to without a pause may put that off. LookAgain is how often the files are
// checked without any event: a folder on another machine reports nothing, and not every folder can be watched.
const (
	settle    = 30 * time.Millisecond
	hurry     = 10 * settle
	LookAgain = 2 * time.Second
)

// Files notices when any of a set of files may have changed. It watches folders, not files: most editors write a new file
// and put it in the old one's place, and a watch on a file stays with the old one. It waits for a file that does not
// exist, and for its folder. It also watches a link on the way to it.
type Files struct {
	events  *fsnotify.Watcher // nil where there can be none
	refused error             // why there can be none
	wanted  map[string]bool   // names of files and links, as paths without links
	folders map[string]fs.FileInfo
	told    string // the last message about what keeps folders from being watched
}

func New() *Files {
	f := &Files{folders: map[string]fs.FileInfo{}}
	f.events, f.refused = fsnotify.NewWatcher()
	return f
}

func (f *Files) Close() {
	if f.events != nil {
		_ = f.events.Close()
	}
}

// Arm follows these files from now on. It watches the folder of each, or the nearest existing one above it, and no other.
// The error says why some cannot be watched, once for each reason.
func (f *Files) Arm(files []string) error {
	f.wanted = map[string]bool{}
	want := map[string]bool{}
	for _, file := range files {
		for _, name := range namesOnTheWay(file) {
			f.wanted[name] = true
			want[nearestFolder(name)] = true
		}
	}
	err := f.refused
	if f.events != nil {
		f.dropOthers(want)
		for folder := range want {
			err = errors.Join(err, f.add(folder))
		}
	}
	return f.news(err)
}

// news is an error that was not reported yet.
func (f *Files) news(err error) error {
	if err == nil {
		f.told = ""
		return nil
	}
	err = limitInWords(err)
	if err.Error() == f.told {
		return nil
	}
	f.told = err.Error()
	return err
}

// dropOthers ends the watches of folders that are no longer wanted, and of those that were removed and made again since.
func (f *Files) dropOthers(want map[string]bool) {
	for _, folder := range f.events.WatchList() {
		info, err := os.Stat(folder)
		if was := f.folders[folder]; want[folder] && err == nil && was != nil && os.SameFile(was, info) {
			continue
		}
		_ = f.events.Remove(folder) // of a folder that has gone, or whose events are ignored from now on
		delete(f.folders, folder)
	}
}

// add watches a folder. A folder that has gone meanwhile is no error: those above it are tried next time.
func (f *Files) add(folder string) error {
	info, err := os.Stat(folder)
	if err == nil {
		err = f.events.Add(folder)
	}
	if err != nil && errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	f.folders[folder] = info
	return err
}

// mostOnTheWay is the number of links followed on the way to a file.
const mostOnTheWay = 40

// namesOnTheWay are the names whose change can change the file at a path: each link on the way to it, and the file
// itself. Their folders have no links in them.
func namesOnTheWay(path string) (names []string) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil
	}
	root := filepath.VolumeName(path) + string(filepath.Separator)
	at, rest := root, strings.TrimPrefix(path, root)
	for rest != "" {
		var name string
		name, rest, _ = strings.Cut(rest, string(filepath.Separator))
		next := filepath.Join(at, name)
		to, err := os.Readlink(next)
		if err != nil || len(names) >= mostOnTheWay {
			at = next
			continue
		}
		names = append(names, next)
		if filepath.IsAbs(to) {
			at, to = root, strings.TrimPrefix(filepath.Clean(to), root)
		}
		rest = strings.Trim(filepath.Join(to, rest), string(filepath.Separator))
		for rest == ".." || strings.HasPrefix(rest, ".."+string(filepath.Separator)) {
			at, rest = filepath.Dir(at), strings.TrimPrefix(rest[2:], string(filepath.Separator))
		}
		if rest == "." {
			rest = ""
		}
	}
	return append(names, at)
}

// nearestFolder is the folder of a file, or the nearest existing one above it.
func nearestFolder(path string) string {
	for {
		up := filepath.Dir(path)
		if info, err := os.Stat(up); err == nil && info.IsDir() || up == path {
			return up
		}
		path = up
	}
}

// concerns reports whether an event at path may have changed a wanted file: the path is one, or a folder above one.
func (f *Files) concerns(e fsnotify.Event) bool {
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

// Next waits until something has happened to the wanted files and is over, or it is time to look again, or done is
// closed. The error is that of ctx when it is done.
func (f *Files) Next(ctx context.Context, done <-chan struct{}) error {
	return f.wait(ctx, done, nil)
}

// Settled waits until nothing has happened to the wanted files for a while. The error is that of ctx when it is done.
func (f *Files) Settled(ctx context.Context) error { return f.wait(ctx, nil, time.After(settle)) }

// wait is Next. It also returns when quiet fires, unless something happens before.
func (f *Files) wait(ctx context.Context, done <-chan struct{}, quiet <-chan time.Time) error {
	var events chan fsnotify.Event
	var errs chan error
	if f.events != nil {
		events, errs = f.events.Events, f.events.Errors
	}
	again := time.NewTimer(LookAgain)
	defer again.Stop()
	var late <-chan time.Time
	for {
		select {
		case <-done:
			return nil
		case <-ctx.Done():
			return ctx.Err()
		case e, ok := <-events:
			if !ok {
				events = nil
			}
			if !ok || !f.concerns(e) {
				continue
			}
			if late == nil {
				late = time.After(hurry)
			}
			quiet = time.After(settle)
		case _, ok := <-errs:
			if !ok {
				errs = nil
				continue
			}
			quiet = time.After(settle) // some events were lost: any file may have changed
		case <-again.C:
			if quiet == nil {
				quiet = time.After(settle)
			}
		case <-quiet:
			return nil
		case <-late:
			return nil
		}
	}
}
