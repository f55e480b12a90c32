package main

import (
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"barover/cmd/barover/checker"
)

// A mutation is a mistake in the sources that the checker must notice, by an answer that is wrong and not only by one that is not
// proved.
type mutation struct {
	name   string
	family string // the sketches on which it shows
	most   int    // of them within which it must
	long   bool   // only where as many sketches are asked for as in the long run
	lines  []mutatedLine
}

// mutatedLine is a line of a source, without what it is indented by, and what is put in its place. The line must be there once.
type mutatedLine struct{ file, from, to string }

const longRun = 3000 // sketches

var mutations = []mutation{
	{name: "a cell is skipped", family: "arm", most: 30, lines: []mutatedLine{
		{"solver/clearance/search.go", "for i := range boxes {", "for i := range boxes - 1 {"}}},
	{name: "a third of the overflow is dropped", family: "level tops", most: 30, long: true, lines: []mutatedLine{
		{"solver/taylor/space.go", "s := &Space{Vars: vars, Order: order, Devs: devs, kept: 1, one: vars == 1 && devs == 0, two: vars == 2 && devs == 0, worse: &sync.Pool{}}",
			"s := &Space{Vars: vars, Order: order, Devs: devs, kept: 2.0 / 3, one: vars == 1 && devs == 0, two: vars == 2 && devs == 0, worse: &sync.Pool{}}"}}},
	{name: "the strips are not linked to rest", family: "drag link", most: 60, long: true, lines: []mutatedLine{
		{"solver/tube/march.go", "copy(m.guess, known.at)", "copy(m.guess, m.rest.at)"},
		{"solver/tube/march.go", "if !m.enclose(&b) || !m.startsAt(&b, at, middle(strip), known) {", "if !m.enclose(&b) {"}}},
	{name: "a radius is a thousandth of what it is", family: "four-bar", most: 150, long: true, lines: []mutatedLine{
		{"solver/tube/krawczyk.go", "v.st.SetRad(v.plan.scalar[k], (v.left[i]*v.unit[k]+row*most)*(1+1e-9))",
			"v.st.SetRad(v.plan.scalar[k], 1e-3*(v.left[i]*v.unit[k]+row*most))"}}},
	{name: "the box up to a dead centre ends before it", family: "dead centre at the end", most: 60, long: true, lines: []mutatedLine{
		{"solver/tube/fold.go", "m.restrict(b, beyond, from.To)", "m.restrict(b, from.From+0*beyond, from.To)"}}},
}

// TestMutations builds the command from sources with a mistake in them, and demands that the checker finds an answer of it wrong where
// that of the sound command is right.
func TestMutations(t *testing.T) {
	t.Logf("-sketches %d and more tries all of them", longRun)
	const seed = 2
	for _, m := range mutations {
		t.Run(m.name, func(t *testing.T) {
			if m.long && *sketches < longRun {
				t.Skip("only in the long run")
			}
			if !checker.HasFamily(m.family) {
				t.Fatalf("there is no family %q", m.family)
			}
			m.noticed(t, seed)
		})
	}
}

// noticed demands that one of the sketches shows the mutation.
func (m *mutation) noticed(t *testing.T, seed uint64) {
	program := m.build(t)
	tried, unproved := 0, 0
	for k := uint64(0); tried < m.most; k++ {
		if checker.FamilyOf(k).Name != m.family {
			continue
		}
		tried++
		truth, err := checker.Draw(seed, k)
		if err != nil {
			t.Fatal(err)
		}
		h := truth.Hold(answeredBy(t, program, truth.Sketch.Text()))
		if len(h.Wrong) > 0 {
			t.Logf("%d sketches, %d answers not proved; then wrong: %s", tried, unproved, h.Wrong[0])
			if sound := truth.Hold(answered(t, truth.Sketch.Text())); len(sound.Wrong) > 0 {
				t.Errorf("the sound command is wrong there too: %s", sound.Wrong[0])
			}
			return
		}
		unproved += h.Unproved
	}
	t.Errorf("not noticed in %d sketches (%s), of which %d answers are not proved", tried, m.family, unproved)
}

// build builds the command with the mutation in it and returns where it is.
func (m *mutation) build(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	write := func(name string, b []byte) string {
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, b, 0o644); err != nil {
			t.Fatal(err)
		}
		return file
	}
	overlay := struct{ Replace map[string]string }{map[string]string{}}
	for file, text := range m.spoiled(t) {
		overlay.Replace[file] = write(filepath.Base(file), []byte(text))
	}
	b, err := json.Marshal(overlay)
	if err != nil {
		t.Fatal(err)
	}
	program := filepath.Join(dir, "barover.exe")
	if out, err := exec.Command("go", "build", "-ldflags=-s -w", "-overlay", write("overlay.json", b), "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return program
}

// spoiled is the sources with the mutation in them, by file.
func (m *mutation) spoiled(t *testing.T) map[string]string {
	t.Helper()
	sources := map[string]string{}
	for _, l := range m.lines {
		file, err := filepath.Abs(filepath.Join("../..", filepath.FromSlash(l.file)))
		if err != nil {
			t.Fatal(err)
		}
		text, read := sources[file]
		if !read {
			b, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			text = string(b)
		}
		if n := strings.Count(text, "\t"+l.from+"\n"); n != 1 {
			t.Fatalf("%s has the line %d times, and not once: say anew what is to be spoiled:\n%s", l.file, n, l.from)
		}
		sources[file] = strings.Replace(text, "\t"+l.from+"\n", "\t"+l.to+"\n", 1)
	}
	return sources
}

// answeredBy is what a built command answers to a sketch.
func answeredBy(t *testing.T, program, text string) *checker.Answer {
	t.Helper()
	file := filepath.Join(t.TempDir(), "random.motion")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	out, err := exec.CommandContext(ctx, program, "check", "--json", file).Output()
	a, unread := checker.Read(out)
	if unread != nil {
		t.Fatalf("%v: %v\n%s", err, unread, text)
	}
	return a
}
