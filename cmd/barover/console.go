package main

import (
	"fmt"
	"io"
	"os"

	"barover/render/report"
	"barover/render/terminal"

	"golang.org/x/term"
)

// console is where a command's answers and messages go. Colour and progress are for a person at a terminal only.
type console struct {
	out, err  io.Writer
	colour    bool // out is a terminal, and colour was not turned off
	attending bool // err is a terminal: somebody sees progress
}

// newConsole finds out what the two streams are. NO_COLOR, set to anything, turns colour off, and so does a terminal that
// says it is dumb.
func newConsole(out, err *os.File) *console {
	plain := os.Getenv("NO_COLOR") != "" || os.Getenv("TERM") == "dumb"
	colour := isTerminal(out) && !plain
	return &console{out: &terminal.Outlet{W: out, Colour: colour}, err: &terminal.Outlet{W: err}, colour: colour, attending: isTerminal(err)}
}

// failed is why an answer could not be written; nil where all were.
func (c *console) failed() error {
	if o, ok := c.out.(*terminal.Outlet); ok {
		return o.Err
	}
	return nil
}

// terminal is where progress goes, with signs that move the cursor.
func (c *console) terminal() io.Writer {
	if o, ok := c.err.(*terminal.Outlet); ok {
		return o.W
	}
	return c.err
}

// isTerminal reports whether f is a character device that shows what is written to it. The null device is a character
// device too, but no terminal.
func isTerminal(f *os.File) bool {
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return false
	}
	null, err := os.Stat(os.DevNull)
	return err != nil || !os.SameFile(info, null)
}

// widthOf is the width of a page on f: that of a terminal, within reason, and the usual one elsewhere.
func widthOf(f *os.File) int {
	if !isTerminal(f) {
		return terminal.UsualWidth
	}
	wide, _, err := term.GetSize(int(f.Fd()))
	if err != nil || wide <= 0 {
		return terminal.UsualWidth
	}
	return min(max(wide, terminal.LeastWidth), terminal.MostWidth)
}

// wrote says to somebody at a terminal which files were written. A script knows them.
func (c *console) wrote(files []string) {
	if c.attending && len(files) > 0 {
		fmt.Fprintf(c.err, "%s written\n", report.Listing(files))
	}
}
