package main

import (
	"barover/render/terminal"
	"fmt"
	"time"
)

// patience is how long work goes on before somebody at a terminal is told how far it is.
const patience = time.Second

// progress tells how far a piece of work is, in one line that is written over and taken away at the end.
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

// step says that done of total pieces are finished, and what they are. It is called by one goroutine at a time.
func (p *progress) step(of string, done, total int) {
	now := time.Now()
	if !p.c.attending || now.Sub(p.start) < patience || now.Sub(p.last) < patience/10 {
		return
	}
	p.last, p.shown = now, true
	fmt.Fprintf(p.c.terminal(), "\r%s: %d of %d %s, %.0f s\x1b[K", terminal.Visible(p.name), done, total, of, now.Sub(p.start).Seconds())
}

// end takes the line away.
func (p *progress) end() {
	if p.shown {
		fmt.Fprint(p.c.terminal(), "\r\x1b[K")
	}
}
