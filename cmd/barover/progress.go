package main

import (
	"fmt"
	"time"

	"barover/render/terminal"
	"barover/solver/machine"
)

// patience is how long work runs before somebody at a terminal sees its progress.
const patience = time.Second

// progress shows the progress of a piece of work, in one line that is overwritten and removed at the end.
type progress struct {
	c     *console
	name  string
	start time.Time
	last  time.Time
	shown bool
}

// newProgress begins the clock.
func (c *console) newProgress(name string) *progress {
	return &progress{c: c, name: name, start: time.Now()}
}

// step says that done of total pieces are finished, and what the pieces are. It is called by one goroutine at a time.
func (p *progress) step(of string, done, total int) {
	now := time.Now()
	if !p.c.attending || now.Sub(p.start) < patience || now.Sub(p.last) < patience/10 {
		return
	}
	p.last, p.shown = now, true
	fmt.Fprintf(p.c.terminal(), "\r%s: %d of %d %s, %.0f s\x1b[K", terminal.Visible(p.name), done, total, of, now.Sub(p.start).Seconds())
}

// options returns options by which the work reports its progress.
func (p *progress) options() machine.Options { return machine.Options{Progress: p.step} }

// end removes the line.
func (p *progress) end() {
	if p.shown {
		fmt.Fprint(p.c.terminal(), "\r\x1b[K")
	}
}
