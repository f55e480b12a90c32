package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"barover/render/drawing"
	"barover/render/sheet"
	"barover/render/svg"
	"barover/sketch"
	"barover/sketch/syntax"
)

func newWatch(c *console) *cobra.Command {
	var v valueFlags
	var d drawFlags
	cmd := &cobra.Command{
		Use:   "watch FILE…",
		Short: "Draw again at every save, until stopped",
		Long: `watch draws each sketch as draw does, and again whenever it or a file that it uses is saved, with one line on the
terminal each time. While a sketch cannot be used, its last good drawing stands, with a stamp in it that says
what is wrong. Interrupt it (Ctrl-C) to stop.`,
		Args:              someFiles,
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			o, err := v.options()
			if err != nil {
				return err
			}
			if len(args) > 1 && len(d.out) > 0 {
				return errors.New("-o goes with one FILE: leave it out, and each drawing lies beside its sketch")
			}
			var all []*watched
			for _, path := range args {
				if info, err := os.Stat(path); err == nil && info.IsDir() { // what is not there yet is waited for
					return c.tell([]syntax.Message{folderMessage(path)}, nil)
				}
				outs, err := d.outputs(path)
				if err != nil {
					return err
				}
				all = append(all, &watched{c: c, path: path, values: o, look: d, outs: outs})
			}
			return c.watch(cmd.Context(), all)
		},
	}
	v.add(cmd)
	d.add(cmd)
	return cmd
}

// folderMessage tells of a folder that stands where a sketch should.
func folderMessage(path string) syntax.Message {
	_, err := sketch.ReadFile(path)
	return sketch.Unread(path, err)
}

// watch draws each sketch whenever one of its files has another text than the one that was last read.
func (c *console) watch(ctx context.Context, all []*watched) error {
	f, err := newFollower()
	if err != nil {
		return err
	}
	defer f.close()
	for {
		var files []string
		for _, w := range all {
			files = append(files, w.files()...)
		}
		if err := f.follow(files); err != nil {
			return err
		}
		// Only now, with every folder watched, is it looked at what changed: a save in between is not lost.
		drawn := false
		for _, w := range all {
			if w.stale() {
				drawn = true
				if err := w.redraw(ctx); err != nil {
					return endOfWatch(err)
				}
			}
		}
		if drawn {
			continue // the files that belong to a sketch may be others now
		}
		if err := f.next(ctx); err != nil {
			return endOfWatch(err)
		}
	}
}

// endOfWatch is nothing where somebody stopped the watch.
func endOfWatch(err error) error {
	if errors.Is(err, context.Canceled) {
		return nil
	}
	return err
}

// watched is one sketch and its drawings.
type watched struct {
	c      *console
	path   string
	values sketch.Options
	look   drawFlags
	outs   []string

	read map[string]reading // what was last read of each of its files; nil before the first time
	from *sketch.Disk
	last *sheet.Book // the last good drawing; nil before there is one
	page int         // of the last good drawing, what an .svg or .png shows
}

// reading is what reading a file gave.
type reading struct {
	text string
	err  bool
}

// recorder reads a sketch and keeps what it reads of each file.
type recorder struct {
	*sketch.Disk
	read map[string]reading
}

func (r *recorder) ReadFile(path string) ([]byte, error) {
	b, err := r.Disk.ReadFile(path)
	r.read[path] = reading{string(b), err != nil}
	return b, err
}

// files are those that the sketch was put together of when it was last read.
func (w *watched) files() []string {
	files := []string{w.path}
	for f := range w.read {
		files = append(files, f)
	}
	return files
}

// stale reports whether there is something to draw: a file has changed, or a drawing is gone.
func (w *watched) stale() bool {
	if w.read == nil {
		return true
	}
	for f, was := range w.read {
		if b, err := w.from.ReadFile(f); string(b) != was.text || (err != nil) != was.err {
			return true
		}
	}
	for _, o := range w.outs {
		if _, err := os.Stat(o); w.last != nil && errors.Is(err, os.ErrNotExist) {
			return true
		}
	}
	return false
}

// redraw reads the sketch and brings its drawings up to date, or stamps them out of date. The error is that of the
// context, of a drawing that cannot be written, or, the first time, of flags that do not go with the sketch.
func (w *watched) redraw(ctx context.Context) error {
	start, first := time.Now(), w.read == nil
	w.read = map[string]reading{}
	w.from = sketch.OnDisk(w.path, w.values.Anywhere)
	sk, messages := sketch.Read(&recorder{w.from, w.read}, w.path, w.values)
	if len(messages) == 0 && sk.Statements() == 0 { // so it is between the two steps in which some editors save
		return w.outOfDate(ctx, w.about("there is nothing in it yet"))
	}
	e, messages, err := assembleRead(sk, messages)
	if err != nil {
		return err
	}
	if len(messages) > 0 {
		return w.outOfDate(ctx, messages)
	}
	res, messages, err := e.drawnStudy(ctx, w.c.newProgress(filepath.Base(w.path)))
	if err != nil {
		return err
	}
	if len(messages) > 0 {
		return w.outOfDate(ctx, messages)
	}
	book, page, err := w.look.sheets(ctx, e, res)
	if err != nil {
		if first || ctx.Err() != nil {
			return err
		}
		// An edit has taken away what the flags ask for, and another may bring it back.
		return w.outOfDate(ctx, w.about(err.Error()))
	}
	w.last, w.page = book, page
	if err := writePages(ctx, w.last, w.outs, page); err != nil {
		return err
	}
	told := strings.TrimSpace(newReport(e, res).sentence() + " " + w.last.Note())
	w.say("%s drawn in %d ms. %s", w.path, time.Since(start).Milliseconds(), told)
	return nil
}

// about is a message that has no place in the sketch.
func (w *watched) about(what string) []syntax.Message {
	return []syntax.Message{{Text: w.path + ": " + what}}
}

// outOfDate leaves the last good drawing standing, with a stamp.
func (w *watched) outOfDate(ctx context.Context, messages []syntax.Message) error {
	head := messages[0].Head()
	if n := len(messages) - 1; n > 0 {
		head += fmt.Sprintf(" (and %d more)", n)
	}
	if w.last == nil {
		return w.noneYet(head, stampText(w.path, messages[0]))
	}
	if err := writePages(ctx, stamped{w.last, stampText(w.path, messages[0])}, w.outs, w.page); err != nil {
		return err
	}
	w.say("%s. The last drawing stands, stamped out of date.", head)
	return nil
}

// noneYet deals with the drawings of an earlier run where this one has drawn nothing so far: an .svg is stamped, and what
// cannot be stamped without its sketch is named.
func (w *watched) noneYet(head, why string) error {
	stamp := func(width, height float64) *drawing.Layer { return sheet.StampLayer(width, height, why) }
	var marked, left []string
	for _, o := range w.outs {
		old, err := os.ReadFile(o)
		if errors.Is(err, os.ErrNotExist) {
			continue
		}
		if err != nil {
			return err
		}
		clean := svg.Unstamp(old)
		made := svg.Stamp(clean, stamp)
		if drawnAs(o) != "svg" || bytes.Equal(made, clean) {
			left = append(left, o)
			continue
		}
		marked = append(marked, o)
		if bytes.Equal(made, old) {
			continue
		}
		if err := replaceFile(context.Background(), o, made); err != nil {
			return err
		}
	}
	told := "No drawing yet."
	if len(marked) > 0 {
		told = strings.Join(marked, ", ") + " of an earlier run stamped out of date."
	}
	w.say("%s. %s", head, told)
	if len(left) > 0 {
		fmt.Fprintf(w.c.err, "%s: %s of an earlier run without a stamp: not the sketch as it is now\n", w.path, isOrAre(left))
	}
	return nil
}

// isOrAre lists files as the subject of a sentence.
func isOrAre(files []string) string {
	if len(files) == 1 {
		return files[0] + " is"
	}
	return strings.Join(files[:len(files)-1], ", ") + " and " + files[len(files)-1] + " are"
}

// stampText is what is wrong with a sketch whose drawing is out of date.
func stampText(sketch string, m syntax.Message) string {
	if m.File == nil {
		return m.Text
	}
	line, _ := m.File.Place(m.Span.Start)
	where := fmt.Sprintf("line %d", line)
	if m.File.Path != sketch {
		where = filepath.Base(m.File.Path) + " " + where
	}
	return fmt.Sprintf("%s: %s", where, m.Text)
}

// say prints one line with the time of day before it, so that a new line looks new.
func (w *watched) say(format string, args ...any) {
	fmt.Fprintf(w.c.out, "%s  %s\n", time.Now().Format(time.TimeOnly), visible(fmt.Sprintf(format, args...)))
}
