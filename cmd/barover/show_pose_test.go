package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"barover/sketch"
	"barover/sketch/assembled"
	"barover/solver/linkage"
	"barover/solver/plane"
	"barover/solver/trial/draws"
)

// agree is by how much a place on the page may lie off what the other verbs say, mm.
const agree = 0.01

func optionsOf(t *testing.T) sketch.Options {
	t.Helper()
	o, err := (&valueFlags{}).options()
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// standsAs holds every part on the page against the solver's position: where the corners of its outlines stand.
func (b *tab) standsAs(e *assembled.Engine, turn float64, travel []float64) {
	b.t.Helper()
	pose, status, err := e.Machine.Pose(context.Background(), turn*math.Pi/180, travel)
	if err != nil || status > linkage.DeadCentre {
		b.t.Fatalf("at %v°: %v, %v", turn, status, err)
	}
	page := value[[][]float64](b, `barover.scene.profiles.map((p) => [p.index, ...p.hull.slice(0, 2), ...barover.motion.place(barover.scene.parts[p.part].row, ...p.hull.slice(0, 2))])`)
	for _, f := range page {
		p := &e.Problem.Profiles[int(f[0])]
		want := pose.Part[p.Part].Out(plane.Vec{X: f[1], Y: f[2]})
		if off := want.Sub(plane.Vec{X: f[3], Y: f[4]}).Len(); !(off < agree) {
			b.t.Errorf("at %v°, %v: %s stands %.4f mm off", turn, travel, p.Name, off)
		}
	}
}

// TestPagePoses: at random positions the page stands where the solver, `table` and `draw --at` have it.
func TestPagePoses(t *testing.T) {
	path := copied(t, "larkspur.motion")
	f, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	// Measures that say where two points are, so that table reports them; and their paths, so that the page does.
	_, err = f.WriteString("\nmeasure cross_x = x(crosspin)\nmeasure pin_y = y(crankpin)\ntrace crosspin\ntrace crankpin\n")
	if err := errors.Join(err, f.Close()); err != nil {
		t.Fatal(err)
	}
	b, _ := openPage(t, path)
	e, err := assembled.Assemble(path, optionsOf(t))
	if err != nil {
		t.Fatal(err)
	}
	seed := uint64(12)
	r := rand.New(rand.NewPCG(seed, 1))
	t.Logf("seed %d", seed)
	settings := e.Machine.Settings()
	turns := make([]float64, draws.Of(20))
	for i := range turns {
		turns[i] = math.Round(r.Float64()*36000) / 100
	}
	rows := tableAt(t, e, turns)
	for _, turn := range turns {
		setting := settings[r.IntN(len(settings))]
		b.goes(turn, setting)
		b.standsAs(e, turn, setting)
		row := rowOf(t, e, rows, turn, setting)
		at := value[[]float64](b, `["crosspin", "crankpin"].flatMap((n) => barover.motion.point(barover.scene.points.lastIndexOf(n)))`)
		if off := math.Abs(at[0]/25.4 - row["cross_x"]); !(off*25.4 < agree) {
			t.Errorf("at %v°, %v: crosspin is %v in off what table says", turn, setting, off)
		}
		if off := math.Abs(at[3]/25.4 - row["pin_y"]); !(off*25.4 < agree) {
			t.Errorf("at %v°, %v: crankpin is %v in off what table says", turn, setting, off)
		}
		// Between the steps of a range as well.
		between := append([]float64(nil), setting...)
		axle := e.Problem.Travels[0]
		between[0] = axle.From + r.Float64()*(axle.To-axle.From)
		b.goes(turn, between)
		b.standsAs(e, turn, between)
	}
	rest := []float64{e.Problem.Travels[0].Rest, e.Problem.Travels[1].Rest}
	for range 3 {
		turn := math.Round(r.Float64()*36000) / 100
		b.goes(turn, rest)
		b.drawnAs(path, turn)
	}
}

// goes puts the page at a position.
func (b *tab) goes(turn float64, travel []float64) {
	b.t.Helper()
	var list []string
	for _, v := range travel {
		list = append(list, strconv.FormatFloat(v, 'g', -1, 64))
	}
	value[any](b, fmt.Sprintf(`(async () => { [%s].forEach((v, i) => barover.goTravel(i, v)); while (barover.asking) await new Promise((r) => setTimeout(r, 2)); barover.goTurn(%v); return true })()`,
		strings.Join(list, ","), turn))
}

// tableAt is what `table` prints at some positions, one map a row.
func tableAt(t *testing.T, e *assembled.Engine, turns []float64) (rows []map[string]float64) {
	t.Helper()
	var at []string
	for _, v := range turns {
		at = append(at, strconv.FormatFloat(v, 'f', -1, 64))
	}
	text, _ := barover(t, "table", e.Path, "--at", strings.Join(at, ","))
	lines := strings.Split(strings.TrimSpace(text), "\n")
	names := strings.Split(lines[0], ",")
	for _, l := range lines[1:] {
		row := map[string]float64{}
		for i, cell := range strings.Split(l, ",") {
			if v, err := strconv.ParseFloat(cell, 64); err == nil {
				row[names[i]] = v
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// rowOf is the row of one position and setting.
func rowOf(t *testing.T, e *assembled.Engine, rows []map[string]float64, turn float64, setting []float64) map[string]float64 {
	t.Helper()
	for _, row := range rows {
		same := math.Abs(row[e.Problem.Turn.Name]-turn) < 1e-6
		for i, v := range setting {
			want := v / 25.4
			if e.Problem.Travels[i].Angle {
				want = v * 180 / math.Pi
			}
			got, ok := row[e.Problem.Travels[i].Name]
			same = same && ok && math.Abs(got-want) < 1e-6
		}
		if same {
			return row
		}
	}
	t.Fatalf("table has no row at %v°, %v", turn, setting)
	return nil
}

var usedAt = regexp.MustCompile(`<use xlink:href="#o(\d+)" transform="translate\(([-\d.]+) ([-\d.]+)\)(?:rotate\(([-\d.]+)\))?"`)

// drawnAs holds the page against the sheet that `draw --at` makes: every part of the chosen position, by where its axes stand
// on the paper.
func (b *tab) drawnAs(path string, turn float64) {
	b.t.Helper()
	out := filepath.Join(b.t.TempDir(), "at.svg")
	barover(b.t, "draw", path, "--at", strconv.FormatFloat(turn, 'f', -1, 64), "-o", out)
	text, err := os.ReadFile(out)
	if err != nil {
		b.t.Fatal(err)
	}
	layer := func(id string) [][]string {
		_, from, ok := strings.Cut(string(text), `<g id="`+id+`"`)
		if !ok {
			b.t.Fatalf("the sheet has no layer %s", id)
		}
		part, _, _ := strings.Cut(from, `<g id="`)
		return usedAt.FindAllStringSubmatch(part, -1)
	}
	number := func(s string) float64 { v, _ := strconv.ParseFloat(s, 64); return v }
	home := layer("fixed")[0] // the frame's axes
	shift := plane.Vec{X: number(home[2]), Y: number(home[3])}
	page := value[[][]float64](b, `barover.scene.profiles.filter((p) => barover.scene.parts[p.part].row >= 0).map((p) => { const n = 4 * barover.scene.parts[p.part].row; return [...barover.motion.now.slice(n, n + 4)] })`)
	chosen := layer("chosen")
	if len(chosen) != len(page) || len(page) == 0 {
		b.t.Fatalf("%d outlines on the sheet, %d on the page", len(chosen), len(page))
	}
	k := scaleOf(chosen, shift, page, number)
	for i, c := range chosen {
		x, y := (number(c[2])-shift.X)/k, (shift.Y-number(c[3]))/k
		if off := math.Hypot(x-page[i][0], y-page[i][1]); !(off < agree) {
			b.t.Errorf("at %v°: outline %d stands %.4f mm off the sheet", turn, i, off)
		}
		heading := -number(c[4]) * math.Pi / 180
		if off := math.Hypot(math.Cos(heading)-page[i][2], math.Sin(heading)-page[i][3]); !(off < 1e-5) {
			b.t.Errorf("at %v°: outline %d is turned %.6f rad off the sheet", turn, i, off)
		}
	}
}

// scaleOf is how many mm of paper a mm of the engine is: of the part that stands farthest off, to a standard scale.
func scaleOf(chosen [][]string, shift plane.Vec, page [][]float64, number func(string) float64) float64 {
	far, k := 0.0, 1.0
	for i, c := range chosen {
		if d := math.Hypot(page[i][0], page[i][1]); d > far {
			far, k = d, math.Hypot(number(c[2])-shift.X, number(c[3])-shift.Y)/d
		}
	}
	return math.Round(k*1e4) / 1e4
}
