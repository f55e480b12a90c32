package main

import (
	"barover/render/terminal"
	"barover/solver/trial/draws"
	"bytes"
	"context"
	"encoding/json"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"
)

// Rough use: sketches that are broken in every way, and a watch to which everything happens that can. How much of it is a
// flag; .ci/rough runs the long form.
var mutants = flag.Int("mutants", draws.Of(60), "how many broken sketches are tried")

// odd are what comes into a sketch by a slip, a bad copy or a bad joke.
var odd = []string{"0", "-1", "1e-9", "1e9", "1e308", "1/0", "360", "0.0001", "\x00", "\r", "\v", "\x1b[2J", "\u0085", "\u2028", "\u202e", "\xff",
	"\"", "#", "(", ")", "^", "±", "¼", "½", "°", "\t", "\n", "\n ", "é", "😀", "e\u0301", "\ufeff", "pi", "to", "all", "frame", "near 0, 0",
	"hole disc 0, 0 dia 1", "tol -1 to 1", "fit H7", " use \"x\"", strings.Repeat("(", 300), strings.Repeat("a", 5000)}

// mutate breaks a text in one place.
func mutate(rng *rand.Rand, text string) string {
	if !word.MatchString(text) { // there is little left to break
		text += "dim a = 1\n"
	}
	lines := strings.SplitAfter(text, "\n")
	i, k := rng.IntN(len(lines)), rng.IntN(len(lines))
	at := rng.IntN(len(text) + 1)
	end := min(len(text), at+1+rng.IntN(12))
	words := word.FindAllStringIndex(text, -1)
	pick := func() []int { return words[rng.IntN(len(words))] }
	switch rng.IntN(10) {
	case 0:
		return text[:at] + text[end:]
	case 1:
		return text[:at] + odd[rng.IntN(len(odd))] + text[at:]
	case 2:
		return strings.Join(slices.Delete(slices.Clone(lines), i, i+1), "")
	case 3:
		return strings.Join(slices.Insert(slices.Clone(lines), k, lines[i]), "")
	case 4:
		lines[i], lines[k] = lines[k], lines[i]
		return strings.Join(lines, "")
	case 5:
		return text[:at]
	case 6:
		lines[i] = strings.TrimSuffix(lines[i], "\n")
		return strings.Join(lines, "")
	case 7:
		a, b := pick(), pick()
		return text[:a[0]] + text[b[0]:b[1]] + text[a[1]:]
	case 8:
		a := pick()
		return text[:a[0]] + odd[rng.IntN(len(odd))] + text[a[1]:]
	}
	return text[:at] + strings.Repeat(text[at:end], 1+rng.IntN(200)) + text[end:]
}

var word = regexp.MustCompile(`[\w.]+`)

// verbsTried are the command lines that a broken sketch goes through. DIM is one of its dimensions, OUT a file beside it.
var verbsTried = [][]string{{"check"}, {"check", "--json", "--across"}, {"check", "--long", "--levers"}, {"check", "--md"}, {"draw", "-o", "OUT.svg", "-o", "OUT.pdf"},
	{"draw", "-o", "OUT.png"}, {"table"}, {"ledger"}, {"ledger", "--json"}, {"compare"}, {"compare", "-o", "OUT.svg"}, {"spread", "--samples", "20"},
	{"seek", "DIM", "--json"}, {"template", "crank", "-o", "OUT.svg", "-o", "OUT.dxf"}, {"tidy"}, {"tidy"}, {"draw", "-o", "OUT.svg", "--as", "drawn"}}

// TestRoughSketches puts broken sketches through the verbs. Each ends, with a status and a message with a place where it
// cannot be used; its answers are whole; nothing but what was asked for is written.
func TestRoughSketches(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 10))
	t.Logf("seed %d", *seed)
	var texts []string
	for _, name := range []string{"tansy", "tansy-short-rod", "quartering", "harrow-mere", "tansy", "quartering", "larkspur"} {
		texts = append(texts, contents(t, filepath.Join(exampleFolder, name+".motion")))
	}
	used := contents(t, filepath.Join(exampleFolder, "tansy.motion"))
	ended := map[int]int{}
	for n := range *mutants {
		text := texts[n%len(texts)]
		for range 1 + rng.IntN(4) {
			text = mutate(rng, text)
		}
		dir := t.TempDir()
		made(t, filepath.Join(dir, "tansy.motion"), used, 0o644) // what the short rod uses
		path := filepath.Join(dir, "m.motion")
		made(t, path, text, 0o644)
		args := slices.Clone(verbsTried[rng.IntN(len(verbsTried))])
		for i := range args {
			args[i] = strings.Replace(strings.Replace(args[i], "DIM", "throw", 1), "OUT", filepath.Join(dir, "out"), 1)
		}
		args = slices.Insert(args, 1, path)
		if found := rough(dir, path, text, args, ended); found != nil {
			t.Errorf("sketch %d of seed %d, barover %q: %v\n%s", n, *seed, args, found, clipped(text))
		}
		_ = os.RemoveAll(dir)
	}
	t.Logf("ended with %v", ended)
	if *mutants >= 15 && (ended[0] == 0 || ended[2] == 0) {
		t.Error("not every way to end was seen")
	}
}

func clipped(text string) string {
	if len(text) > 4000 {
		return text[:4000] + "…"
	}
	return text
}

// enough is how long a broken sketch may be worked on before that is broken off; it then ends within atLast.
const (
	enough = 10 * time.Second
	atLast = 60 * time.Second
)

// rough runs one command line over one sketch, and says what is wrong with how that went.
func rough(dir, path, text string, args []string, ended map[int]int) error {
	var out, errs testWriter
	ctx, cancel := context.WithTimeout(context.Background(), enough)
	defer cancel()
	status := make(chan int, 1)
	go func() {
		status <- run(ctx, args, &console{out: &terminal.Outlet{W: &out}, err: &terminal.Outlet{W: &errs}})
	}()
	var s int
	select {
	case s = <-status:
	case <-time.After(enough + atLast):
		return errors.New("it does not end, and cannot be broken off")
	}
	ended[s]++
	var wrong []error
	told := func(format string, args ...any) { wrong = append(wrong, fmt.Errorf(format, args...)) }
	if bytes.Contains(errs, []byte("mistake in barover itself")) || s < 0 || s > 2 {
		told("status %d, %s", s, errs)
	}
	if s == 2 && ctx.Err() == nil && !hasPlace.Match(errs) {
		told("status 2 without a message that has a place: %q", errs)
	}
	for _, b := range []testWriter{out, errs} {
		if i := strings.IndexFunc(string(b), func(r rune) bool { return terminal.IsUnsafe(r) && r != '\n' && r != '\t' }); i >= 0 || !utf8.Valid(b) {
			told("raw characters in what it says: %q", b)
		}
	}
	if s < 2 && slices.Contains(args, "--json") && !json.Valid(out) {
		told("this is no JSON: %s", out)
	}
	wrong = append(wrong, whole(dir, s == 2 && ctx.Err() == nil), kept(path, text, args, s))
	return errors.Join(wrong...)
}

var hasPlace = regexp.MustCompile(`(?m)^(barover: |\S.*:\d+:\d+: )`)

// whole looks at the files that were written: each is whole, there is none of a sketch that cannot be used, and nothing else
// lies there.
func whole(dir string, unusable bool) error {
	list, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, f := range list {
		b, err := os.ReadFile(filepath.Join(dir, f.Name()))
		if err != nil {
			return err
		}
		ok := false
		switch f.Name() {
		case "m.motion", "tansy.motion":
			continue
		case "out.svg":
			d := xml.NewDecoder(bytes.NewReader(b))
			for err == nil {
				_, err = d.Token()
			}
			ok = errors.Is(err, io.EOF)
		case "out.pdf":
			ok = bytes.HasSuffix(bytes.TrimSpace(b), []byte("%%EOF"))
		case "out.png":
			ok = bytes.HasSuffix(b, []byte("IEND\xaeB`\x82"))
		case "out.dxf":
			ok = bytes.HasSuffix(bytes.TrimSpace(b), []byte("EOF"))
		}
		if !ok || unusable {
			return fmt.Errorf("%s is there with %d bytes, whole: %v", f.Name(), len(b), ok)
		}
	}
	return nil
}

// kept looks at the sketch afterwards: tidy alone may change it, and a second time changes nothing.
func kept(path, text string, args []string, status int) error {
	b, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	if string(b) == text {
		return nil
	}
	if args[0] != "tidy" || status != 0 {
		return fmt.Errorf("status %d, and the sketch was changed", status)
	}
	var c console
	c.out, c.err = io.Discard, io.Discard
	again := run(context.Background(), args, &c)
	if twice, err := os.ReadFile(path); err != nil || again != 0 || !bytes.Equal(b, twice) {
		return fmt.Errorf("tidied twice it is another: status %d, %v", again, err)
	}
	return nil
}
