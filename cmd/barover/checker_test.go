package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"testing"

	"barover/cmd/barover/checker"
)

var (
	sketches   = flag.Int("sketches", 300, "how many random sketches are held against the checker")
	sketchSeed = flag.Uint64("sketch-seed", 1, "seed of the random sketches")
	oneFamily  = flag.String("sketch-family", "", "hold the random sketches of this family alone")
	oneSketch  = flag.Int("sketch", -1, "hold the random sketch of this number alone")
)

// TestSketches draws sketches at random and holds what `check --json` answers against a slow solver that shares no code with
// the command: see package checker.
func TestSketches(t *testing.T) {
	t.Logf("seed %d, %d sketches; -sketch-seed and -sketches take others", *sketchSeed, *sketches)
	from, to := 0, *sketches
	if *oneSketch >= 0 {
		from, to = *oneSketch, *oneSketch+1
	}
	tallies := make(map[string]*tally)
	for _, f := range checker.Families() {
		tallies[f.Name] = &tally{}
	}
	for _, h := range holdAll(t, from, to) {
		if h.Held != nil {
			tallies[h.family.Name].add(h)
		}
	}
	for _, f := range checker.Families() {
		n := tallies[f.Name]
		t.Logf("%-22s %4d sketches, %4d checks, %3d not proved, %3d ends wide, %3d wrong", f.Name, n.sketches, n.asked, n.unproved, n.wide, n.wrong)
		if allowed := f.Unproved * float64(n.asked); float64(n.unproved) > allowed+min(1, 100*f.Unproved) {
			t.Errorf("%s: %d of %d checks are not proved, more than a share of %g", f.Name, n.unproved, n.asked, f.Unproved)
		}
		if f.Pending != "" && n.wrong == 0 && n.sketches >= 20 {
			t.Errorf("%s: nothing is wrong any more; let it count (%s)", f.Name, f.Pending)
		}
	}
}

// heldSketch is what came out of one sketch.
type heldSketch struct {
	family checker.Family
	*checker.Held
}

// tally counts what came out of one family.
type tally struct{ sketches, asked, unproved, wide, wrong int }

func (n *tally) add(h heldSketch) {
	n.sketches++
	n.asked += h.Asked
	n.unproved += h.Unproved
	n.wide += h.Wide
	n.wrong += len(h.Wrong)
}

// holdAll holds the sketches of some numbers, several at a time, and tells what is wrong.
func holdAll(t *testing.T, from, to int) []heldSketch {
	out := make([]heldSketch, to-from)
	numbers := make(chan int)
	var crew sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		crew.Go(func() {
			for k := range numbers {
				out[k-from] = holdSketch(t, k)
			}
		})
	}
	for k := from; k < to; k++ {
		if *oneFamily == "" || checker.FamilyOf(uint64(k)).Name == *oneFamily {
			numbers <- k
		}
	}
	close(numbers)
	crew.Wait()
	return out
}

// spoiled is how many of the first sketches have their answers spoiled.
const spoiled = 28

// firstDrawn are the first sketches with their answers, so that two tests do not work them out twice.
var firstDrawn [spoiled]struct {
	sync.Once
	truth  *checker.Truth
	answer []byte
	err    error
}

// drawn draws one sketch and has it answered. Where there is none it returns no truth.
func drawn(t *testing.T, k int) (truth *checker.Truth, answer []byte, err error) {
	draw := func() {
		if truth, err = checker.Draw(*sketchSeed, uint64(k)); err != nil {
			truth = nil
			return
		}
		answer, err = answerOf(t.TempDir(), truth.Sketch.Text())
	}
	if k >= spoiled {
		draw()
		return truth, answer, err
	}
	known := &firstDrawn[k]
	known.Do(func() {
		draw()
		known.truth, known.answer, known.err = truth, answer, err
	})
	return known.truth, known.answer, known.err
}

// holdSketch draws one sketch, has it answered and holds the answer.
func holdSketch(t *testing.T, k int) heldSketch {
	h := heldSketch{checker.FamilyOf(uint64(k)), &checker.Held{}}
	truth, b, err := drawn(t, k)
	if truth == nil {
		t.Error(err)
		return h
	}
	s := truth.Sketch
	if err != nil {
		h.Wrong = append(h.Wrong, err.Error())
	} else if a, err := checker.Read(b); err != nil {
		h.Wrong = append(h.Wrong, err.Error())
	} else {
		h.Held = truth.Hold(a)
	}
	if h.Unproved > 0 {
		t.Logf("sketch %d (%s): %d of %d checks are not proved", k, h.family.Name, h.Unproved, h.Asked)
	}
	if len(h.Wrong) > 0 {
		told := ""
		for _, w := range h.Wrong {
			told += "\n    " + w
		}
		say := t.Errorf
		if h.family.Pending != "" {
			told += "\n    does not count yet: " + h.family.Pending
			say = t.Logf
		}
		say("sketch %d (%s):%s\nrepeat: go test ./cmd/barover -run TestSketches -sketch-seed %d -sketch %d\n%s", k, h.family.Name, told, *sketchSeed, k, s.Text())
	}
	return h
}

// answerOf is what `check --json` prints of a sketch.
func answerOf(dir, text string) ([]byte, error) {
	file := filepath.Join(dir, "random.motion")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		return nil, err
	}
	var out, errs bytes.Buffer
	if status := run(context.Background(), []string{"check", "--json", file}, &console{out: &out, err: &errs}); status == unusable {
		return nil, fmt.Errorf("refused: %s", errs.String())
	}
	return out.Bytes(), nil
}

// answered is what check answers to a sketch.
func answered(t *testing.T, text string) *checker.Answer {
	t.Helper()
	b, err := answerOf(t.TempDir(), text)
	if err != nil {
		t.Fatal(err)
	}
	a, err := checker.Read(b)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// TestCheckerNotices changes answers in each of the ways that count, a little more than is allowed, and demands that the checker
// notices nine of ten: what lies at its limit, or is level, within the tolerance cannot be told.
func TestCheckerNotices(t *testing.T) {
	tried, noticed := make(map[string]int), make(map[string]int)
	for k := range spoiled {
		truth, b, err := drawn(t, k)
		if err != nil {
			t.Fatal(err)
		}
		right, err := checker.Read(b)
		if err != nil {
			t.Fatal(err)
		}
		known := truth.Hold(right).Wrong
		for name, spoil := range spoils {
			for n := 0; ; n++ {
				a := new(checker.Answer)
				if err := json.Unmarshal(b, a); err != nil {
					t.Fatal(err)
				}
				if !spoil(truth.Sketch, a, n) {
					break
				}
				tried[name]++
				if !slices.Equal(truth.Hold(a).Wrong, known) {
					noticed[name]++
				}
			}
		}
	}
	for name := range spoils {
		t.Logf("%-40s %3d of %3d noticed", name, noticed[name], tried[name])
		if 10*noticed[name] < 9*tried[name] || tried[name] == 0 {
			t.Errorf("%s: %d of %d changes were noticed", name, noticed[name], tried[name])
		}
	}
}
