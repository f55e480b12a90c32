package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"
	"time"

	"barover/cmd/barover/replace"
	"barover/render/drawing"
	"barover/render/office"
	"barover/render/report"
	"barover/render/svg"
)

// pending is the files of a sketch that could not be written, and when they are tried again.
type pending struct {
	why   map[string]string // of each such file
	told  string            // the last message about them
	pause time.Duration
	next  time.Time
}

// The pause before a file is tried again doubles from the least to the most: a full disk stays full for a while, and
// making a sheet costs time.
const (
	leastPause = 2 * time.Second
	mostPause  = time.Minute
)

// show writes pages to all files. A file that cannot be written is tried again later. The error is that of ctx.
func (w *watched) show(ctx context.Context, p pages) error {
	w.shown = p
	w.pending = pending{}
	return w.writeAll(ctx, w.outs)
}

// writeAll writes what is shown to some of the files.
func (w *watched) writeAll(ctx context.Context, outs []string) error {
	for _, o := range inOrder(outs) {
		err := spares(w.sources, o)
		if err == nil {
			err = writePage(ctx, w.shown, o, w.page)
		}
		if ctx.Err() != nil {
			return ctx.Err()
		}
		w.note(o, err)
	}
	return nil
}

// note records why a file could not be written.
func (w *watched) note(out string, err error) {
	if err == nil {
		delete(w.why, out)
		return
	}
	if w.why == nil {
		w.why = map[string]string{}
	}
	w.why[out] = strings.TrimPrefix(strings.TrimPrefix(err.Error(), out+" "), "cannot be written: ")
	if w.pause == 0 {
		w.pause = leastPause
		w.next = time.Now().Add(w.pause)
	}
}

// lacks reports whether none of the files could be written.
func (w *watched) lacks(outs []string) bool { return len(w.why) == len(outs) }

// unwrittenInWords says which files could not be written (or stamped: done), and why, after the words of start; "" where
// all were.
func (w *watched) unwrittenInWords(start, done string) string {
	if len(w.why) == 0 {
		return ""
	}
	by := map[string][]string{}
	var reasons []string
	for _, o := range w.outs {
		why, ok := w.why[o]
		if !ok {
			continue
		}
		if by[why] == nil {
			reasons = append(reasons, why)
		}
		by[why] = append(by[why], o)
	}
	for i, why := range reasons {
		reasons[i] = fmt.Sprintf("%s cannot be %s: %s", report.Listing(by[why]), done, why)
	}
	w.told = strings.Join(reasons, "; ")
	return start + w.told + "; this is tried again."
}

// writeAgain writes files that have disappeared, and tries again those that could not be written. The error is that of
// ctx.
func (w *watched) writeAgain(ctx context.Context) error {
	if w.shown == nil {
		return nil
	}
	var gone, due []string
	for _, o := range w.outs {
		_, failed := w.why[o]
		_, err := os.Stat(o)
		switch {
		case failed:
			due = append(due, o)
		case errors.Is(err, fs.ErrNotExist):
			gone = append(gone, o)
		}
	}
	if time.Now().Before(w.next) {
		due = nil
	}
	if len(gone)+len(due) == 0 {
		return nil
	}
	if len(due) > 0 {
		w.pause = min(2*w.pause, mostPause)
		w.next = time.Now().Add(w.pause)
	}
	if err := w.writeAll(ctx, slices.Concat(gone, due)); err != nil {
		return err
	}
	w.tellAgain(gone, due)
	return nil
}

// tellAgain says which files were written after all, and what is new about those that were not.
func (w *watched) tellAgain(gone, due []string) {
	written := func(files []string) (list []string) {
		for _, o := range files {
			if _, failed := w.why[o]; !failed {
				list = append(list, o)
			}
		}
		return list
	}
	if list := written(due); len(list) > 0 {
		w.say("%s can be written again, and %s.", report.Listing(list), isOrAre(list, "is", "are"))
	}
	if list := written(gone); len(list) > 0 {
		w.say("%s %s gone, and %s written again.", report.Listing(list), isOrAre(list, "was", "were"), isOrAre(list, "is", "are"))
	}
	was := w.told
	if words := w.unwrittenInWords("", "written"); words != "" && w.told != was {
		w.say("%s", words)
	}
}

func isOrAre(list []string, one, many string) string {
	if len(list) == 1 {
		return one
	}
	return many
}

// noneYet deals with the drawings of an earlier run where this one has drawn nothing so far. It stamps an .svg, and names
// the files that cannot be stamped.
func (w *watched) noneYet(ctx context.Context, head, why string) error {
	w.pending = pending{}
	var marked, left []string
	for _, o := range w.outs {
		switch done, there, err := w.stampOld(ctx, o, why); {
		case ctx.Err() != nil:
			return ctx.Err()
		case err != nil:
			w.note(o, err)
		case done:
			marked = append(marked, o)
		case there:
			left = append(left, o)
		}
	}
	told := "No drawing yet."
	if len(marked) > 0 {
		told = strings.Join(marked, ", ") + " of an earlier run stamped out of date."
	}
	w.say("%s. %s%s", head, told, w.unwrittenInWords(" ", "stamped"))
	w.pending = pending{}
	if len(left) > 0 {
		fmt.Fprintf(w.c.err, "%s: %s %s of an earlier run without a stamp: not the sketch as it is now\n", w.Path, report.Listing(left), isOrAre(left, "is", "are"))
	}
	return nil
}

// stampOld puts a stamp into a drawing of an earlier run. It reports whether the drawing has the stamp now, and whether
// the file exists.
func (w *watched) stampOld(ctx context.Context, out, why string) (done, there bool, err error) {
	info, err := os.Stat(out)
	if err != nil || !info.Mode().IsRegular() {
		return false, err == nil, nil
	}
	if err := spares(w.sources, out); err != nil {
		return false, true, err
	}
	old, err := os.ReadFile(out)
	if err != nil {
		return false, true, err
	}
	clean := svg.Unstamp(old)
	made := svg.Stamp(clean, func(width, height float64) *drawing.Layer { return office.StampLayer(width, height, why) })
	if drawnAs(out) != "svg" || bytes.Equal(made, clean) {
		return false, true, nil
	}
	if !bytes.Equal(made, old) {
		err = replace.File(ctx, out, made)
	}
	return err == nil, true, err
}
