package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"barover/render/report"
	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/plane"
)

const unusedTravels = `travel u = 1, 2, 3, 4, 5, 6, 7, 8, 9, 10
travel v = 1, 2, 3, 4, 5, 6, 7, 8, 9, 10
travel w = 1, 2, 3, 4, 5, 6, 7, 8, 9, 10
`

// points is so many points that nothing asks about.
func points(n int, at string) string {
	var s strings.Builder
	for i := range n {
		fmt.Fprintf(&s, "point p%[1]d at "+at+"\n", i)
	}
	return s.String()
}

// cranks is so many arms that turn side by side and never meet.
func cranks(n int) string {
	s := new(strings.Builder)
	fmt.Fprintln(s, "turn crank = 0 to 360 step 5")
	for i := range n {
		x, y, ahead := placeOfCrank(i)
		fmt.Fprintf(s, "point a%[1]d at %[2]d, %[3]d\npoint b%[1]d at %[2]d + 20*cos(crank + %[4]d), %[3]d + 20*sin(crank + %[4]d)\n",
			i, x, y, ahead)
		bar(s, fmt.Sprint("p", i), fmt.Sprint("a", i), fmt.Sprint("b", i), 20)
	}
	return s.String()
}

// sliderCranks is so many cranks with a rod each, in rows.
func sliderCranks(n int) string {
	s := new(strings.Builder)
	fmt.Fprintln(s, "turn crank = 0 to 360 step 5")
	for i := range n {
		fmt.Fprintf(s, "point a%[1]d at %[2]d, %[3]d\npoint b%[1]d\nlength a%[1]d b%[1]d = 20\nangle a%[1]d b%[1]d = crank\n"+
			"line l%[1]d through a%[1]d heading 0\npoint c%[1]d near %[2]d + 100, %[3]d\nlength b%[1]d c%[1]d = 80\nslide c%[1]d on l%[1]d\n",
			i, 400*(i%10), 100*(i/10))
		bar(s, fmt.Sprint("p", i), fmt.Sprint("a", i), fmt.Sprint("b", i), 20)
		bar(s, fmt.Sprint("r", i), fmt.Sprint("b", i), fmt.Sprint("c", i), 80)
	}
	return s.String()
}

func bar(s *strings.Builder, part, from, to string, long int) {
	fmt.Fprintf(s, "part %[1]s from %[2]s to %[3]s\nprofile %[1]s.web across 0 to 5\n   strip 0, 0 to %[4]d, 0 wide 6 round\n", part, from, to, long)
}

func placeOfCrank(i int) (x, y, ahead int) { return 100 * (i % 20), 100 * (i / 20), 7 * i % 360 }

// leastOfCranks tells the least distance of every two cranks, by closed forms every so many degrees.
func leastOfCranks(n int, step float64, tell func(i, k int, least float64)) {
	g := new(expr.Graph)
	long, wide, nought := g.Const(20), g.Const(6), g.Const(0)
	web, err := outline.Build([]outline.Shape{{Kind: outline.Strip, Round: true, W: [2]expr.ID{wide, wide},
		P: [2]outline.Place{{X: nought, Y: nought}, {X: long, Y: nought}}}}, expr.Resolve(g, nil))
	if err != nil {
		panic(err)
	}
	at := make([][]plane.Placement, n) // by the turn
	for i := range at {
		x, y, ahead := placeOfCrank(i)
		for turn := 0.; turn < 360; turn += step {
			at[i] = append(at[i], plane.Placement{Origin: plane.Vec{X: float64(x), Y: float64(y)}, Dir: plane.Polar((turn + float64(ahead)) * math.Pi / 180)})
		}
		for k := range i {
			least := math.Inf(1)
			for t, p := range at[i] {
				least = math.Min(least, outline.Distance(web, p, web, at[k][t]).D)
			}
			tell(i, k, least)
		}
	}
}

// With many parts two are followed without the rest; the least is what it is by a closed form, proved.
func TestManyParts(t *testing.T) {
	const n = 70
	path := filepath.Join(t.TempDir(), "cranks.motion")
	if err := os.WriteFile(path, []byte(cranks(n)+"clear all by 1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	a := checkExample(t, path)
	told := make(map[string]float64)
	for _, c := range a.Checks {
		if c.Sure != "proved" {
			t.Errorf("%s and %s: %s", c.A, c.B, c.Sure)
		}
		told[c.A+" "+c.B], told[c.B+" "+c.A] = *c.Least, *c.Least
	}
	const step = 0.5 // over which the distance moves off its least by 20·(step/2)² or so
	leastOfCranks(n, step, func(i, k int, least float64) {
		got, ok := told[fmt.Sprintf("p%d.web p%d.web", k, i)]
		if !ok || got > least+1e-9 || got < least-40*math.Pow(step/2*math.Pi/180, 2) {
			t.Errorf("parts %d and %d: %g (told: %v), every %g° the least is %g", k, i, got, ok, step, least)
		}
	})
}

// Travels that nothing follows leave every answer what it is and how sure it is, however many settings they make; marks still
// have a row for each.
func TestUnusedTravels(t *testing.T) {
	text := sliderCranks(2) + "clear all by 1\nmeasure out = x(c0)\nkeep out above 0\nmark half when out falls past 80 showing out\n"
	check := func(name, text string) *asked {
		path := filepath.Join(t.TempDir(), name+".motion")
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return checkExample(t, path)
	}
	with, without := check("with", text+unusedTravels), check("without", text)
	for i, c := range without.Checks {
		w := with.Checks[i]
		if w.Sure != "proved" || c.Sure != "proved" || *w.Least != *c.Least || w.At["crank"] != c.At["crank"] || w.At["v"] != 1 {
			t.Errorf("check %d: %+v, without the travels %+v", i, w, c)
		}
	}
	if got, want := len(with.Marks), 1000*len(without.Marks); got != want || want == 0 {
		t.Fatalf("marks have %d rows, want %d", got, want)
	}
	settings := map[string]bool{}
	for _, m := range with.Marks {
		settings[fmt.Sprint(m.At["u"], m.At["v"], m.At["w"])] = true
	}
	if len(settings) != 1000 {
		t.Errorf("marks are told of at %d settings", len(settings))
	}
}

// Points that nothing asks about change no answer and how sure it is, however many there are and however fast they go.
func TestUnaskedPoints(t *testing.T) {
	small := sliderCranks(2) + "clear all by 1\nmeasure out = x(c0)\nkeep out above 0\nmark half when out falls past 80 showing out\n"
	folder := t.TempDir()
	answer := func(text string) string {
		path := filepath.Join(folder, "sketch.motion")
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		out, status := barover(t, "check", "--json", path)
		if status != report.AllHolds || strings.Contains(out, "sampled") {
			t.Errorf("status %d\n%s", status, out)
		}
		return out
	}
	want := answer(small)
	for _, at := range []string{"%[1]d, 0", "10*cos(crank*%[1]d), 10*sin(crank*%[1]d)"} {
		if diff := cmp.Diff(want, answer(small+points(300, at))); diff != "" {
			t.Errorf("with points at %s:\n%s", at, diff)
		}
	}
}
