package main

import (
	"barover/cmd/barover/replace"
	"barover/solver/trial/draws"
	"errors"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

var (
	faults    = flag.Int("faults", draws.Of(25), "how many things happen to a watch")
	manySaves = flag.Int("saves", 0, "how often Larkspur is saved under a watch; none where it is zero")
)

// watching is a watch in a process of its own, over sketches in a folder.
type watching struct {
	t    *testing.T
	dir  string
	args []string
	cmd  *exec.Cmd
	n    int // of the last save
	disk string
}

func (w *watching) path(name string) string { return filepath.Join(w.dir, name) }

func (w *watching) start() {
	w.t.Helper()
	log, err := os.OpenFile(w.path("log"), os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o644)
	if err != nil {
		w.t.Fatal(err)
	}
	defer log.Close()
	w.cmd = exec.Command("barover", append([]string{"watch"}, w.args...)...)
	w.cmd.Dir, w.cmd.Stdout, w.cmd.Stderr = w.dir, log, log
	if err := w.cmd.Start(); err != nil {
		w.t.Fatal(err)
	}
}

// killed ends the watch as a lost current would.
func (w *watching) killed() {
	_ = w.cmd.Process.Kill()
	_ = w.cmd.Wait()
}

// alive reports whether the watch still runs.
func (w *watching) alive() bool {
	var status syscall.WaitStatus
	pid, err := syscall.Wait4(w.cmd.Process.Pid, &status, syscall.WNOHANG, nil)
	return pid == 0 && err == nil
}

// crankOf is a sketch with a title that tells its save, and its throw from another file.
func crankOf(n int) string {
	return fmt.Sprintf("title \"Save %d.\"\nuse \"part.motion\"\nturn crank = 0 to 360 step 15\npoint shaft at 0, 0\npoint crankpin\n"+
		"length shaft crankpin = throw\nangle  shaft crankpin = crank\n", n)
}

// shows waits until a drawing is that of a save, and not out of date.
func (w *watching) shows(drawing string, n int) error {
	want := regexp.MustCompile(fmt.Sprintf(`<title>[^<]*Save %d\.`, n))
	var b []byte
	var err error
	for end := time.Now().Add(2 * patient); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if b, err = os.ReadFile(w.path(drawing)); err == nil && want.Match(b) && !strings.Contains(string(b), "out of date") && strings.HasSuffix(strings.TrimSpace(string(b)), "</svg>") {
			return nil
		}
		if !w.alive() {
			return errors.New("the watch has ended")
		}
	}
	return fmt.Errorf("%s has %d bytes (%v) and does not come to show save %d", drawing, len(b), err, n)
}

// waysToSave are those of saveLike, and others that editors, tools and people have.
var waysToSave = map[string]func(file, text string) error{
	"truncate": nil, "replace": nil, "away and back": nil, "pieces": nil, "beside and over": nil,
	"slowly": func(file, text string) error {
		f, err := os.Create(file)
		for ; err == nil && len(text) > 0; time.Sleep(3 * time.Millisecond) {
			n := min(40, len(text))
			_, err = f.WriteString(text[:n])
			text = text[n:]
		}
		return errors.Join(err, f.Close())
	},
	"from another folder": func(file, text string) error {
		beside := filepath.Join(filepath.Dir(filepath.Dir(file)), "elsewhere")
		return errors.Join(os.WriteFile(beside, []byte(text), 0o644), os.Rename(beside, file))
	},
	"over, then shorter": func(file, text string) error {
		f, err := os.OpenFile(file, os.O_RDWR|os.O_CREATE, 0o644)
		if err != nil {
			return err
		}
		_, err = f.WriteString(text)
		return errors.Join(err, f.Truncate(int64(len(text))), f.Close())
	},
	"a link beside, then over": func(file, text string) error {
		old := file + ".bak"
		_ = os.Remove(old)
		return errors.Join(os.Link(file, old), os.WriteFile(file+".new", []byte(text), 0o644), os.Rename(file+".new", file), os.Remove(old))
	},
}

// save writes the next sketch in one of the ways.
func (w *watching) save(way string) error {
	w.n++
	file := w.path("a/eng.motion")
	if f := waysToSave[way]; f != nil {
		return f(file, crankOf(w.n))
	}
	return saveLike(way, file, crankOf(w.n))
}

// waits is long enough for the watch to see what there is.
func waits(rng *rand.Rand) { time.Sleep(time.Duration(rng.IntN(120)) * time.Millisecond) }

// done is what a fault does; it ends with all as it should be except for a save that the picture is still to come of.
type fault struct {
	name string
	do   func(w *watching, rng *rand.Rand) error
}

// faultsTried are what happens to the files under a watch.
var faultsTried = []fault{
	{"folder away and back", func(w *watching, rng *rand.Rand) error {
		err := os.Rename(w.path("a"), w.path("away"))
		waits(rng)
		return errors.Join(err, os.Rename(w.path("away"), w.path("a")), w.save("truncate"))
	}},
	{"folder made anew", func(w *watching, rng *rand.Rand) error {
		err := os.RemoveAll(w.path("a"))
		for tries := 0; err != nil && tries < 100; tries++ { // the watch may be writing there
			err = os.RemoveAll(w.path("a"))
		}
		waits(rng)
		w.n++
		return errors.Join(err, os.Mkdir(w.path("a"), 0o755), os.WriteFile(w.path("a/part.motion"), []byte("dim throw = 22\n"), 0o644),
			os.WriteFile(w.path("a/eng.motion"), []byte(crankOf(w.n)), 0o644))
	}},
	{"sketch deleted and back", func(w *watching, rng *rand.Rand) error {
		err := os.Remove(w.path("a/eng.motion"))
		waits(rng)
		return errors.Join(err, w.save("truncate"))
	}},
	{"sketch renamed and back", func(w *watching, rng *rand.Rand) error {
		err := os.Rename(w.path("a/eng.motion"), w.path("a/eng.old"))
		waits(rng)
		return errors.Join(err, os.Rename(w.path("a/eng.old"), w.path("a/eng.motion")))
	}},
	{"used file gone and back", func(w *watching, rng *rand.Rand) error {
		err := os.Rename(w.path("a/part.motion"), w.path("a/part.old"))
		waits(rng)
		return errors.Join(err, os.Rename(w.path("a/part.old"), w.path("a/part.motion")))
	}},
	{"drawing deleted", func(w *watching, _ *rand.Rand) error {
		_ = os.Remove(w.path("a/eng.pdf"))
		return os.Remove(w.path("a/eng.svg"))
	}},
	{"mistake and mended", func(w *watching, rng *rand.Rand) error {
		err := os.WriteFile(w.path("a/eng.motion"), []byte("title \"Bad\n"), 0o644)
		waits(rng)
		return errors.Join(err, w.save("pieces"))
	}},
	{"sketch a link, and back", func(w *watching, rng *rand.Rand) error {
		err := errors.Join(os.WriteFile(w.path("a/other.motion"), []byte(crankOf(0)), 0o644), os.Remove(w.path("a/eng.motion")),
			os.Symlink("other.motion", w.path("a/eng.motion")))
		waits(rng)
		return errors.Join(err, os.Remove(w.path("a/eng.motion")), w.save("truncate"))
	}},
	{"sketch a pipe, and back", func(w *watching, rng *rand.Rand) error {
		err := errors.Join(os.Remove(w.path("a/eng.motion")), syscall.Mkfifo(w.path("a/eng.motion"), 0o644))
		waits(rng)
		return errors.Join(err, os.Remove(w.path("a/eng.motion")), w.save("truncate"))
	}},
	{"folder a link turned elsewhere", func(w *watching, rng *rand.Rand) error {
		err := errors.Join(os.Rename(w.path("a"), w.path("real")), os.Symlink("real", w.path("a")))
		waits(rng)
		w.n++
		err = errors.Join(err, os.Mkdir(w.path("second"), 0o755), os.WriteFile(w.path("second/part.motion"), []byte("dim throw = 23\n"), 0o644),
			os.WriteFile(w.path("second/eng.motion"), []byte(crankOf(w.n)), 0o644),
			os.Symlink("second", w.path("turned")), os.Rename(w.path("turned"), w.path("a")))
		if err == nil {
			err = w.shows("a/eng.svg", w.n)
		}
		return errors.Join(err, os.Remove(w.path("a")), os.Rename(w.path("second"), w.path("a")), os.RemoveAll(w.path("real")), w.save("truncate"))
	}},
	{"drawing without permission", func(w *watching, rng *rand.Rand) error {
		err := os.Chmod(w.path("a/eng.svg"), 0o444)
		err = errors.Join(err, w.save("truncate"))
		waits(rng)
		return errors.Join(err, os.Chmod(w.path("a/eng.svg"), 0o644), w.save("truncate"))
	}},
	{"sketch without permission", func(w *watching, rng *rand.Rand) error {
		err := os.Chmod(w.path("a/eng.motion"), 0)
		waits(rng)
		return errors.Join(err, os.Chmod(w.path("a/eng.motion"), 0o644), w.save("beside and over"))
	}},
	{"folder in place of a drawing", func(w *watching, rng *rand.Rand) error {
		err := errors.Join(os.Remove(w.path("a/eng.pdf")), os.Mkdir(w.path("a/eng.pdf"), 0o755), w.save("truncate"))
		if err == nil {
			err = w.shows("a/eng.svg", w.n)
		}
		return errors.Join(err, os.Remove(w.path("a/eng.pdf")), w.save("truncate"))
	}},
	{"drawing a link to nowhere", func(w *watching, _ *rand.Rand) error {
		_ = os.Remove(w.path("away.svg"))
		// The link takes the drawing's place in one step. In between the watch would write a drawing that is gone, over the link.
		link := w.path("a/eng.link")
		err := errors.Join(os.Symlink("../away.svg", link), os.Rename(link, w.path("a/eng.svg")), w.save("truncate"))
		if err == nil {
			err = w.shows("away.svg", w.n)
		}
		return errors.Join(err, os.Remove(w.path("a/eng.svg")), w.save("truncate"))
	}},
	{"many saves at once", func(w *watching, _ *rand.Rand) (err error) {
		for range 10 {
			err = errors.Join(err, w.save("truncate"))
		}
		return err
	}},
	{"kill -9, and begun again", func(w *watching, rng *rand.Rand) error {
		err := w.save("truncate")
		waits(rng)
		w.killed()
		w.start()
		return errors.Join(err, w.save("truncate"))
	}},
	{"full disk", func(w *watching, _ *rand.Rand) error {
		if w.disk == "" {
			return nil
		}
		full := filepath.Join(w.disk, "full")
		filled := exec.Command("dd", "if=/dev/zero", "of="+full, "bs=4k")
		_ = filled.Run() // until there is no room any more
		err := w.saveOnDisk()
		time.Sleep(60 * time.Millisecond)
		err = errors.Join(err, os.Remove(full), w.saveOnDisk())
		if err == nil {
			err = w.shows(filepath.Join("disk", "small.svg"), w.n)
		}
		return errors.Join(err, w.save("truncate"))
	}},
}

// saveOnDisk saves the sketch whose drawings lie on the small disk. The sketch is written by renaming a file of the other
// disk's folder: that needs no room.
func (w *watching) saveOnDisk() error {
	w.n++
	return os.WriteFile(w.path("small.motion"), []byte(strings.Replace(crankOf(w.n), "part.motion", "a/part.motion", 1)), 0o644)
}

// TestRoughWatch lets happen to a watch what can, one thing after another. After each the picture of the last save comes,
// the watch goes on, and nothing is left lying about.
func TestRoughWatch(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 11))
	t.Logf("seed %d", *seed)
	w := newWatching(t)
	if err := w.shows("a/eng.svg", 1); err != nil {
		t.Fatal(err)
	}
	ways := slices.Sorted(maps.Keys(waysToSave))
	count := map[string]int{}
	for i := range *faults {
		f := faultsTried[rng.IntN(len(faultsTried))]
		if i%2 == 0 {
			way := ways[rng.IntN(len(ways))]
			f = fault{"save: " + way, func(w *watching, _ *rand.Rand) error { return w.save(way) }}
		}
		count[f.name]++
		was := w.logLines()
		err := f.do(w, rng)
		if err == nil {
			err = w.shows("a/eng.svg", w.n)
		}
		if err != nil {
			t.Fatalf("%d, %s, seed %d: %v; the log ends\n%s", i, f.name, *seed, err, w.logEnd())
		}
		if n := w.logLines() - was; n > 60 {
			t.Errorf("%d, %s: %d lines on the terminal", i, f.name, n)
		}
	}
	t.Logf("%v", count)
	w.atRest()
}

// newWatching begins to watch a sketch in a folder, and another one whose drawing lies on a small disk where there can be
// one.
func newWatching(t *testing.T) *watching {
	dir := t.TempDir()
	w := &watching{t: t, dir: dir, args: []string{"a/eng.motion"}, n: 1}
	for _, f := range []string{"a", "disk"} {
		if err := os.Mkdir(w.path(f), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	made(t, w.path("a/eng.motion"), crankOf(1), 0o644)
	made(t, w.path("a/part.motion"), "dim throw = 22\n", 0o644)
	if syscall.Mount("tmpfs", w.path("disk"), "tmpfs", 0, "size=256k,mode=755") == nil {
		w.disk = w.path("disk")
		t.Cleanup(func() { _ = syscall.Unmount(w.disk, syscall.MNT_DETACH) })
		made(t, w.path("small.motion"), strings.Replace(crankOf(1), "part.motion", "a/part.motion", 1), 0o644)
		for _, end := range []string{"svg", "pdf"} {
			if err := os.Symlink("disk/small."+end, w.path("small."+end)); err != nil {
				t.Fatal(err)
			}
		}
		w.args = append(w.args, "small.motion")
	} else {
		t.Log("no small disk here: a full one is not tried")
	}
	w.start()
	t.Cleanup(func() { w.killed() })
	return w
}

func (w *watching) logLines() int { return strings.Count(contents(w.t, w.path("log")), "\n") }

func (w *watching) logEnd() string {
	log := contents(w.t, w.path("log"))
	return log[max(0, len(log)-3000):]
}

// atRest looks at what is left: an interrupt ends the watch, which has nothing lying about and had no mistake of its own.
func (w *watching) atRest() {
	w.t.Helper()
	if err := w.cmd.Process.Signal(os.Interrupt); err != nil {
		w.t.Error(err)
	}
	if err := w.cmd.Wait(); err != nil {
		w.t.Errorf("the watch ended with %v", err)
	}
	_ = filepath.WalkDir(w.dir, func(path string, d os.DirEntry, err error) error {
		if err == nil && (strings.HasSuffix(path, replace.BesideEnd) || strings.HasSuffix(path, ".old")) && !d.IsDir() {
			w.t.Errorf("%s is left", path)
		}
		return nil
	})
	if log := contents(w.t, w.path("log")); strings.Contains(log, "mistake in barover itself") {
		w.t.Errorf("it had a mistake:\n%s", log)
	}
}

// handles and resident are what the watch has: open files, and memory in kB.
func (w *watching) handles() int {
	list, err := os.ReadDir(fmt.Sprintf("/proc/%d/fd", w.cmd.Process.Pid))
	if err != nil {
		w.t.Fatal(err)
	}
	return len(list)
}

var residentLine = regexp.MustCompile(`VmRSS:\s+(\d+) kB`)

func (w *watching) resident() int {
	m := residentLine.FindStringSubmatch(contents(w.t, fmt.Sprintf("/proc/%d/status", w.cmd.Process.Pid)))
	if m == nil {
		w.t.Fatal("the watch has no memory")
	}
	kB, _ := strconv.Atoi(m[1])
	return kB
}

// TestManySaves saves Larkspur again and again under one watch: it takes no more memory after the first fifty, and loses no
// file handle.
func TestManySaves(t *testing.T) {
	if *manySaves == 0 {
		t.Skip("-saves 400 saves Larkspur 400 times")
	}
	w := &watching{t: t, dir: t.TempDir(), args: []string{"lark.motion"}}
	if err := os.CopyFS(w.dir, os.DirFS(exampleFolder)); err != nil {
		t.Fatal(err)
	}
	text := contents(t, larkspur)
	title := regexp.MustCompile(`(?m)^title .*$`)
	write := func(n int) {
		made(t, w.path("new"), title.ReplaceAllString(text, fmt.Sprintf(`title "Save %d."`, n)), 0o644)
		if err := os.Rename(w.path("new"), w.path("lark.motion")); err != nil {
			t.Fatal(err)
		}
		if w.cmd == nil {
			w.start()
			t.Cleanup(func() { w.killed() })
		}
		if err := w.shows("lark.svg", n); err != nil {
			t.Fatalf("%v\n%s", err, w.logEnd())
		}
	}
	var handles, early, late int
	for n := 1; n <= *manySaves; n++ {
		write(n)
		switch kB := w.resident(); {
		case n == 10:
			handles = w.handles()
		case n > 10 && n <= 50:
			early = max(early, kB)
		case n > *manySaves-50:
			late = max(late, kB)
		}
		if n%50 == 0 {
			t.Logf("save %d: %d kB, %d handles", n, w.resident(), w.handles())
		}
	}
	time.Sleep(time.Second) // the last drawing may still be written
	if is := w.handles(); *manySaves >= 10 && is > handles {
		t.Errorf("%d file handles after %d saves, %d after ten", is, *manySaves, handles)
	}
	if *manySaves > 100 && late > early+early/10 {
		t.Errorf("at most %d kB in the last fifty saves, %d in the first", late, early)
	}
	w.atRest()
}
