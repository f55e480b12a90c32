package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"github.com/spf13/cobra"

	"barover/cmd/barover/follow"
	"barover/render/terminal"

	"barover/sketch/source"
	"barover/sketch/syntax"
)

func newWatch(c *console) *cobra.Command {
	var v valueFlags
	var d drawFlags
	cmd := &cobra.Command{
		Use:   "watch FILE…",
		Short: "Draw again at every save, until stopped",
		Long: `watch draws each sketch as draw does, and again whenever the sketch or a file that it uses is saved. It prints one line
each time. While a sketch cannot be used, its last good drawing stays, stamped with what is wrong. A drawing that was
removed, or could not be written, is written again. Interrupt it (Ctrl-C) to stop.`,
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
				if err := refuseFolder(path); err != nil {
					return err
				}
				outs, err := d.outputs(path)
				if err != nil {
					return err
				}
				all = append(all, &watched{Followed: follow.Followed{Path: path, Values: o}, c: c, look: d, outs: outs})
			}
			if err := ownFiles(all); err != nil {
				return err
			}
			return (&watch{c: c, all: all, follow: follow.New()}).run(cmd.Context())
		},
	}
	v.add(cmd)
	d.add(cmd)
	return cmd
}

// refuseFolder reports a folder in the place of a sketch. A file that does not exist yet is waited for.
func refuseFolder(path string) error {
	if info, err := os.Stat(path); err != nil || !info.IsDir() {
		return nil
	}
	_, err := source.ReadFile(path)
	return syntax.Messages{source.Unread(path, err)}
}

// ownFiles checks that each drawing is a file of its own, and none of them a sketch.
func ownFiles(all []*watched) error {
	var outs []string
	for _, w := range all {
		outs = append(outs, w.outs...)
	}
	if err := distinct(outs); err != nil {
		return err
	}
	return spares(sources(all), outs...)
}

// sources are the files that all sketches are read from, as far as they have been read.
func sources(all []*watched) (files []string) {
	for _, w := range all {
		files = append(files, w.Files()...)
	}
	return files
}

// watch draws each sketch whenever the text of one of its files has changed since it was read. Only an interrupt ends it:
// what cannot be read, drawn or written now may be possible later.
type watch struct {
	c      *console
	all    []*watched
	follow *follow.Files
}

func (w *watch) run(ctx context.Context) error {
	defer w.follow.Close()
	settled := true // the files as they are now are no half-done save
	for {
		w.arm()
		// Look for changes only now, with every folder watched, so that a save in between is not lost.
		drawn := false
		for _, one := range w.all {
			if one.Stale() {
				if !settled {
					if err := w.follow.Settled(ctx); err != nil {
						return endOfWatch(err)
					}
				}
				drawn, settled = true, false
				if err := w.draw(ctx, one); err != nil {
					return endOfWatch(err)
				}
			}
			if err := one.writeAgain(ctx); err != nil {
				return endOfWatch(err)
			}
		}
		if drawn {
			continue // the sketch may have other files now
		}
		if err := w.follow.Next(ctx, nil); err != nil {
			return endOfWatch(err)
		}
		settled = true
	}
}

// arm watches the folders of all files that matter.
func (w *watch) arm() {
	files := sources(w.all)
	for _, one := range w.all {
		files = append(files, one.outs...)
	}
	w.c.arm(w.follow, files)
}

// arm watches the folders of some files. If not all can be watched it reports why.
func (c *console) arm(f *follow.Files, files []string) {
	if err := f.Arm(files); err != nil {
		fmt.Fprintf(c.err, "barover: not every folder can be watched: %v\n", err)
		fmt.Fprintf(c.err, "barover: the files are still looked at every %.0f s\n", follow.LookAgain.Seconds())
	}
}

// draw brings the drawings of one sketch up to date. A save that changes one of its files meanwhile ends that at once.
// The sketch is then stale, and the caller begins again.
func (w *watch) draw(ctx context.Context, one *watched) (err error) {
	one.read(sources(w.all))
	job, cancel := context.WithCancel(ctx)
	defer cancel()
	done := make(chan struct{})
	go func() {
		defer close(done)
		err = one.attempt(job)
	}()
	for {
		if w.follow.Next(ctx, done) != nil {
			cancel()
			<-done
		}
		select {
		case <-done:
			if errors.Is(err, context.Canceled) {
				err = ctx.Err() // nil where a newer save was the reason
			}
			return err
		default:
		}
		if one.Changed() {
			cancel()
		}
	}
}

// endOfWatch is nil where somebody stopped the watch.
func endOfWatch(err error) error {
	if errors.Is(err, context.Canceled) {
		return nil
	}
	return err
}

// say prints one line with the time of day before it, so that a new line looks new.
func (w *watched) say(format string, args ...any) {
	fmt.Fprintf(w.c.out, "%s  %s\n", time.Now().Format(time.TimeOnly), terminal.Visible(fmt.Sprintf(format, args...)))
}
