package sketch

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"barover/sketch/syntax"
)

// underHand is what a fingerprint reads as when rear. is written rear_, as an author must who writes a file out by hand.
func underHand(lines []string) []string {
	out := make([]string, len(lines))
	for i, s := range lines {
		s = strings.ReplaceAll(s, "rear.frame.", "frame.rear_")
		out[i] = strings.ReplaceAll(s, "rear.", "rear_")
	}
	slices.Sort(out)
	return out
}

// byHand writes every name of a sketch with rear_ before it.
func byHand(t *testing.T, text string) string {
	t.Helper()
	f, messages := syntax.Parse("by-hand", text)
	if len(messages) > 0 {
		t.Fatal(printed(messages))
	}
	names := map[string]bool{}
	for _, st := range f.Statements {
		for _, n := range givenBy(st) {
			names[n] = true
		}
	}
	word := regexp.MustCompile(`"[^"]*"|[\pL][\pL\d_]*`)
	return word.ReplaceAllStringFunc(text, func(w string) string {
		if names[w] {
			return "rear_" + w
		}
		return w
	})
}

// givenBy lists the names that a statement gives; of profiles those of the frame alone, since the others are known by the
// name of their part.
func givenBy(st syntax.Statement) []string {
	switch s := st.(type) {
	case *syntax.Dim:
		return []string{s.Name.Text}
	case *syntax.Turn:
		return []string{s.Name.Text}
	case *syntax.Measure:
		return []string{s.Name.Text}
	case *syntax.Point:
		return []string{s.Name.Text}
	case *syntax.Line:
		return []string{s.Name.Text}
	case *syntax.Arc:
		return []string{s.Name.Text}
	case *syntax.Part:
		return []string{s.Name.Text}
	case *syntax.Mark:
		return []string{s.Name.Text}
	case *syntax.Case:
		return []string{s.Name.Text}
	case *syntax.Chart:
		return []string{s.Name.Text}
	case *syntax.Profile:
		if s.Part.Text == "frame" {
			return []string{s.Name.Text}
		}
	}
	return nil
}

// TestUseAsIsByHand takes whole sketches in under a name, and holds them against the same written out by hand.
func TestUseAsIsByHand(t *testing.T) {
	for name, list := range sketches(t) {
		text := strings.Join(list, "\n")
		s, messages := Read(readerOf(map[string]string{"main.motion": `use "f.motion" as rear`, "f.motion": text}), "main.motion", Options{})
		if len(messages) > 0 {
			t.Errorf("%s: %s", name, printed(messages))
			continue
		}
		hand := byHand(t, text)
		h, messages := read(hand, Options{})
		if len(messages) > 0 {
			t.Errorf("%s by hand: %s", name, printed(messages))
			continue
		}
		if d := cmp.Diff(underHand(fingerprint(h)), underHand(fingerprint(s))); d != "" {
			t.Errorf("%s: - by hand, + taken in:\n%s", name, d)
		}
	}
}

// cylinder is one side of an engine, as a file that stands alone.
const cylinder = `dim throw = 22
dim out = 31.5
made throw = 21.9
turn crank = 0 to 360 step 5
travel axle = -3 to 3 step 1
point shaft at 0, axle
point crankpin
length shaft crankpin = throw
angle shaft crankpin = crank
part web from shaft to crankpin
profile web.rim from out thick 5
   disc crankpin dia 9
profile frame.bed across 0 to 2*out
   box 60, -5 to 70, 5
keep x(crankpin) above -30
`

// TestUseAsGives makes sure that what a use statement gives counts before what its file says, that the rest is the file's
// own, and that bands are turned over as often as it is asked.
func TestUseAsGives(t *testing.T) {
	files := map[string]string{
		"main.motion": `turn wheel = 0 to 180 step 10
travel rise = -1 to 1 step 1
use "pair.motion" as pair : angle_of = wheel + 90 other side
plan pair.far.throw = 33
dim twice = 2*pair.near_.throw
`,
		"pair.motion": `turn angle_of = 0 to 360 step 5
dim breadth = 40
use "cylinder.motion" as near_ : crank = angle_of, axle = 0
use "cylinder.motion" as far : crank = angle_of + 90, axle = rise, throw = breadth/2 other side
`,
		"cylinder.motion": cylinder,
	}
	s, messages := Read(readerOf(files), "main.motion", Options{})
	if len(messages) > 0 {
		t.Fatal(printed(messages))
	}
	if got := []string{s.Turn.Name, s.Travels[0].Name}; !slices.Equal(got, []string{"wheel", "rise"}) || len(s.Travels) != 1 {
		t.Errorf("turn and travels are %v and %d", got, len(s.Travels))
	}
	for name, want := range map[string]float64{"pair.near_.throw": 21.9, "pair.far.throw": 33, "twice": 43.8, "pair.far.out": 31.5} {
		if d, _, ok := s.Dim(name); !ok || d.Value != want {
			t.Errorf("%s is %v, want %v", name, d, want)
		}
	}
	if d, _, _ := s.Dim("pair.far.throw"); d.Drawn != 20 {
		t.Errorf("the drawn pair.far.throw is %v, want 20: half of breadth", d.Drawn)
	}
	for _, p := range s.Problem.Profiles {
		want, ok := map[string][2]float64{"pair.near_.web.rim": {-36.5, -31.5}, "pair.far.web.rim": {31.5, 36.5},
			"pair.near_.frame.bed": {-63, 0}, "pair.far.frame.bed": {0, 63}}[p.Name]
		if got := [2]float64{s.Values.At(p.From), s.Values.At(p.To)}; !ok || got != want {
			t.Errorf("%s lies across %v, want %v", p.Name, got, want)
		}
	}
	if p := s.Problem.Profiles[1]; s.Problem.Linkage.Parts[p.Part].Name != "frame" {
		t.Errorf("%s belongs to %s", p.Name, s.Problem.Linkage.Parts[p.Part].Name)
	}
}

// TestUseAsGivesWithin makes sure that a use statement gives values to what a file takes in as well, before the statements
// and the made lines of that file.
func TestUseAsGivesWithin(t *testing.T) {
	files := map[string]string{
		"main.motion": `turn wheel = 0 to 180 step 10
use "pair.motion" as pair : near_.throw = 30, near_.axle = 2, far.throw = 31, far.out = 32, angle_of = wheel
made pair.near_.out = 33
`,
		"pair.motion": `turn angle_of = 0 to 360 step 5
use "cylinder.motion" as near_ : crank = angle_of
use "cylinder.motion" as far : crank = angle_of, axle = 0, throw = 20
made far.out = 34
`,
		"cylinder.motion": cylinder,
	}
	s, messages := Read(readerOf(files), "main.motion", Options{})
	if len(messages) > 0 {
		t.Fatal(printed(messages))
	}
	if len(s.Travels) > 0 {
		t.Errorf("%s is left to run", s.Travels[0].Name)
	}
	for name, want := range map[string]float64{"pair.near_.throw": 30, "pair.far.throw": 31, "pair.far.out": 32, "pair.near_.out": 33} {
		if d, _, ok := s.Dim(name); !ok || d.Value != want {
			t.Errorf("%s is %v, want %v", name, d, want)
		}
	}
}

// TestUseAsPlayAll makes sure that `play all` gives the play of the file that it stands in, and of the files which that file
// takes in, unless these have a line of their own.
func TestUseAsPlayAll(t *testing.T) {
	linkage := func(more string) string {
		return "turn crank = 0 to 360 step 5\npoint shaft at 0, 0\npoint pin\nlength shaft pin = 22\nangle shaft pin = crank\n" +
			"point cross near 90, 0\nlength pin cross = 80\nline bore through shaft heading 0\nslide cross on bore\n" +
			"part web from shaft to pin\npart rod from pin to cross\npart head at cross along bore\n" + more
	}
	files := map[string]string{
		"main.motion":  "turn wheel = 0 to 360 step 5\nplay all = 0.4\nuse \"pair.motion\" as pair\nuse \"bare.motion\" as third : crank = wheel\n",
		"pair.motion":  "play all = 0.3\nuse \"own.motion\" as near_ : crank = wheel\nuse \"own.motion\" as mid : crank = wheel\nuse \"bare.motion\" as far : crank = wheel\n",
		"own.motion":   linkage("play all = 0.1\nplay rod at cross = 0.2\n"),
		"bare.motion":  linkage(""),
		"alone.motion": linkage("play all = 0.1\nplay rod at cross = 0.2\n"),
	}
	plays := func(top string) map[string]float64 {
		s, messages := Read(readerOf(files), top, Options{})
		if len(messages) > 0 {
			t.Fatal(printed(messages))
		}
		got := map[string]float64{}
		for _, p := range s.Problem.Plays {
			m := s.Problem.Linkage
			got[m.Parts[p.Part].Name+" at "+m.Points[p.Point].Name] = s.Values.At(p.V)
		}
		return got
	}
	want := map[string]float64{}
	for name, v := range map[string][3]float64{"pair.near_.": {0.1, 0.1, 0.2}, "pair.mid.": {0.1, 0.1, 0.2}, "pair.far.": {0.3, 0.3, 0.3}, "third.": {0.4, 0.4, 0.4}} {
		want[name+"web at "+name+"shaft"], want[name+"rod at "+name+"pin"], want[name+"rod at "+name+"cross"] = v[0], v[1], v[2]
	}
	if d := cmp.Diff(want, plays("main.motion")); d != "" {
		t.Errorf("- want, + got:\n%s", d)
	}
	if d := cmp.Diff(map[string]float64{"web at shaft": 0.1, "rod at pin": 0.1, "rod at cross": 0.2}, plays("alone.motion")); d != "" {
		t.Errorf("alone: - want, + got:\n%s", d)
	}
}
