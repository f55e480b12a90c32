package main

import (
	"barover/cmd/barover/follow"
	"barover/solver/trial/draws"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

var parts = flag.Int("parts", draws.Of(30), "how many parts the drawing has that is broken off")

// manyParts is a sketch of n parts, half of them cranks and half of them rods, that all sweep over one another.
func manyParts(n int, title string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "title \"Many %s\"\nturn crank = 0 to 360 step 5\ntravel axle = -10 to 10 step 5\n", title)
	for i := range n / 2 {
		x, y, turned := float64(i%10)*12, float64(i/10)*12, float64(i)*360/float64(n/2)
		fmt.Fprintf(&b, "point o%d at %g, %g + axle\npoint c%[1]d\npoint x%[1]d near %[4]g, %[3]g\nline b%[1]d through o%[1]d heading 0\n", i, x, y, x+100)
		fmt.Fprintf(&b, "length o%d c%[1]d = %[2]d\nangle o%[1]d c%[1]d = crank + %[3]g\nlength c%[1]d x%[1]d = 90\nslide x%[1]d on b%[1]d\n", i, 10+i%7, turned)
		fmt.Fprintf(&b, "part k%d from o%[1]d to c%[1]d\npart r%[1]d from c%[1]d to x%[1]d\n", i)
		fmt.Fprintf(&b, "profile k%d.web across %d to %d\n   strip o%[1]d to c%[1]d wide 8 round\n", i, i%20, i%20+1)
		fmt.Fprintf(&b, "profile r%d.shank across %d to %d\n   strip c%[1]d to x%[1]d wide 6 round\n", i, i%20, i%20+1)
	}
	return b.String() + "clear all by 1\n"
}

// A drawing of many parts that is broken off ends soon, wherever it is. How soon is held against the whole, since other
// programs may take the processor.
func TestBreakOff(t *testing.T) {
	path := filepath.Join(t.TempDir(), "many.motion")
	if err := os.WriteFile(path, []byte(manyParts(*parts, "one")), 0o644); err != nil {
		t.Fatal(err)
	}
	drawn := func(ctx context.Context) (time.Duration, error) {
		w := &watched{Followed: follow.Followed{Path: path}, c: &console{out: io.Discard, err: io.Discard}, look: drawFlags{page: "1"},
			outs: []string{path + ".svg", path + ".pdf", path + ".png"}}
		w.read(nil)
		start := time.Now()
		err := w.redraw(ctx)
		return time.Since(start), err
	}
	whole, err := drawn(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("the whole takes %v", whole)
	const shares = 6
	for i := range shares {
		ctx, cancel := context.WithCancel(t.Context())
		after := whole * time.Duration(2*i+1) / (2 * shares)
		time.AfterFunc(after, cancel)
		took, err := drawn(ctx)
		cancel()
		if err != nil && !errors.Is(err, context.Canceled) {
			t.Fatal(err)
		}
		late := max(0, took-after)
		t.Logf("broken off after %v, it ends %v later", after, late)
		if late > whole/4+time.Second {
			t.Errorf("broken off after %v of %v, it ends only %v later", after, whole, late)
		}
	}
}
