package main

import (
	"barover/render/terminal"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// A file and the null device are no terminal: neither colour nor progress goes there.
func TestIsTerminal(t *testing.T) {
	null, err := os.OpenFile(os.DevNull, os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer null.Close()
	file, err := os.Create(filepath.Join(t.TempDir(), "out"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	for _, f := range []*os.File{null, file} {
		if isTerminal(f) {
			t.Errorf("%s is taken for a terminal", f.Name())
		}
	}
	// The master side of a pseudo-terminal is a character device like a terminal is.
	pty, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Logf("no pseudo-terminal here, and so none looked at: %v", err)
		return
	}
	defer pty.Close()
	if !isTerminal(pty) {
		t.Error("a pseudo-terminal is not taken for a terminal")
	}
	for _, env := range []string{"NO_COLOR", "TERM"} {
		t.Setenv("NO_COLOR", "")
		t.Setenv("TERM", "xterm")
		if !newConsole(pty, pty).colour {
			t.Error("no colour on a terminal")
		}
		t.Setenv(env, "dumb")
		if newConsole(pty, pty).colour {
			t.Errorf("colour in spite of %s", env)
		}
	}
}

// Progress is shown only after a second, only to somebody, and is taken away.
func TestProgress(t *testing.T) {
	tests := []struct {
		attending bool
		since     time.Duration
		want      string
	}{
		{true, 0, ""},
		{false, 5 * time.Second, ""},
		{true, 5 * time.Second, "\rmill: 3 of 8 checks, 5 s\x1b[K\r\x1b[K"},
	}
	for _, tt := range tests {
		var b testWriter
		c := &console{err: &b, attending: tt.attending}
		p := c.newProgress("mill")
		p.start = p.start.Add(-tt.since)
		p.step("checks", 3, 8)
		p.step("checks", 4, 8) // too soon after the one before
		p.end()
		if string(b) != tt.want {
			t.Errorf("attending %v after %v: %q, want %q", tt.attending, tt.since, b, tt.want)
		}
	}
}

type testWriter []byte

func (w *testWriter) Write(b []byte) (int, error) {
	*w = append(*w, b...)
	return len(b), nil
}

// Nothing that a sketch or the name of a file says does anything to a terminal; what is to be read comes through.
func TestOutlet(t *testing.T) {
	tests := []struct {
		colour bool
		in     []string
		want   string
	}{
		{false, []string{"a\x1b]0;owned\x07b\n"}, "a\ufffd]0;owned\ufffdb\n"},
		{false, []string{terminal.Red + "fouls" + terminal.Reset + "\t1\n"}, "\ufffd[1;31mfouls\ufffd[0m\t1\n"},
		{true, []string{terminal.Red + "fouls" + terminal.Reset + "\t1\n"}, terminal.Red + "fouls" + terminal.Reset + "\t1\n"},
		{true, []string{"\x1b[2J\x1b"}, "\ufffd[2J\ufffd"},
		{false, []string{"\u009b2J \u202e \u2028 \r\x7f"}, "\ufffd2J \ufffd \ufffd \ufffd\ufffd"},
		{false, []string{"bore 5¼ \xe2", "\x89", "\xa5 ½ \x9b\n"}, "bore 5¼ ≥ ½ \ufffd\n"},
	}
	for _, tt := range tests {
		var b testWriter
		o := terminal.Outlet{W: &b, Colour: tt.colour}
		for _, text := range tt.in {
			if n, err := o.Write([]byte(text)); n != len(text) || err != nil {
				t.Errorf("%q: %d, %v", text, n, err)
			}
		}
		if string(b) != tt.want {
			t.Errorf("%q: got %q, want %q", tt.in, b, tt.want)
		}
	}
}

// What is no terminal has the usual width, whatever stands around it.
func TestWidthOfAFile(t *testing.T) {
	f, err := os.CreateTemp(t.TempDir(), "out")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if got := widthOf(f); got != terminal.UsualWidth {
		t.Errorf("%d, want %d", got, terminal.UsualWidth)
	}
}
