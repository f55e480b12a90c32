package main

import (
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"barover/render/sheet"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/machine"
	"barover/solver/plane"
	"barover/solver/trial/draws"
)

// shakyMill is a slider-crank with play at every eye and between the bars.
const shakyMill = `units mm
dim throw = 22
turn crank = 0 to 360 step 5
point shaft at 0, 0
point crankpin
point crosspin near 150, 0
line  bore through shaft heading 0
length shaft crankpin    = throw
angle  shaft crankpin    = crank
length crankpin crosspin = 133
slide  crosspin on bore
part crank     from shaft to crankpin
part conrod    from crankpin to crosspin
part crosshead at crosspin along bore
play conrod at crankpin = 1.2
play conrod at crosspin = 0.5
play crosshead on bore = 0.7
profile conrod.shank across 0 to 5
   strip crankpin to crosspin wide 13 to 9
   disc crankpin dia 22
profile crosshead.block across 0 to 9
   box -12, -8 to 12, 8
profile crank.web across 6 to 9
   strip shaft to crankpin wide 20 round
`

// TestSweptWithPlay solves engines with their eyes anywhere in their play: every corner of every part lies within what the drawing says
// that the part sweeps over with play, and that outline goes no farther than they do.
func TestSweptWithPlay(t *testing.T) {
	file := filepath.Join(t.TempDir(), "mill.motion")
	if err := os.WriteFile(file, []byte(shakyMill), 0o600); err != nil {
		t.Fatal(err)
	}
	e, err := assembled.Assemble(file, sketch.Options{})
	if err != nil {
		t.Fatal(err)
	}
	shaken := map[int][][]plane.Vec{}
	for _, s := range sheet.Of(t.Context(), e.Machine, nil).Swept(nil) {
		if s.Play {
			shaken[s.Part], _ = s.Path.Flat(0.01)
		}
	}
	if len(shaken) != 2 { // nothing moves the crank, which carries its pins
		t.Fatalf("%d parts are drawn with play, want rod and crosshead", len(shaken))
	}
	q, err := e.Problem.WithPlay()
	if err != nil {
		t.Fatal(err)
	}
	alone := *q.Problem
	alone.Plays = nil
	rng := rand.New(rand.NewPCG(4, 2))
	far := map[int]float64{}
	for range draws.Of(150) {
		fixed := maps.Clone(e.Machine.Values.Fixed)
		if fixed == nil {
			fixed = map[int]float64{}
		}
		for _, s := range q.Shifts {
			at := plane.Polar(2 * math.Pi * rng.Float64()).Scale(e.Machine.Values.At(q.Plays[s.Play].V) / 2)
			if fixed[s.Y] = at.Y; s.X >= 0 {
				fixed[s.X] = at.X
			}
		}
		m, err := machine.New(&alone, expr.Resolve(q.Graph, fixed))
		if err != nil {
			t.Fatal(err)
		}
		for k := range 72 {
			pose, status, err := m.Pose(t.Context(), float64(k)*5*math.Pi/180, nil)
			if err != nil || status > linkage.DeadCentre {
				t.Fatal(status, err)
			}
			for i := range e.Problem.Profiles {
				part := e.Problem.Profiles[i].Part
				runs, _ := sheet.PathOf(m.Regions[i]).Placed(pose.Part[part]).Flat(0.01)
				for _, run := range runs {
					for _, v := range run {
						if edge := shaken[part]; edge != nil {
							far[part] = max(far[part], v.X)
							if out := outside(edge, v); out > 0.15 { // the outline itself is that near
								t.Fatalf("%s: %v of %s lies %.3f outside", m.Problem.Profiles[i].Name, v, alone.Linkage.Parts[part].Name, out)
							}
						}
					}
				}
			}
		}
	}
	for part, edge := range shaken {
		reach := math.Inf(-1)
		for _, run := range edge {
			for _, v := range run {
				reach = max(reach, v.X)
			}
		}
		if reach > far[part]+0.15 {
			t.Errorf("%s is drawn as far as %.3f and comes to %.3f", alone.Linkage.Parts[part].Name, reach, far[part])
		}
	}
}

// outside is how far a place lies outside runs, mm; zero within.
func outside(runs [][]plane.Vec, v plane.Vec) float64 {
	winding, near := 0, math.Inf(1)
	for _, run := range runs {
		for i, b := range run {
			a := run[(i+len(run)-1)%len(run)]
			ab := b.Sub(a)
			if a.Y <= v.Y && b.Y > v.Y && ab.Cross(v.Sub(a)) > 0 {
				winding++
			} else if a.Y > v.Y && b.Y <= v.Y && ab.Cross(v.Sub(a)) < 0 {
				winding--
			}
			at := max(0, min(1, v.Sub(a).Dot(ab)/ab.Dot(ab)))
			near = min(near, v.Sub(a.Add(ab.Scale(at))).Len())
		}
	}
	if winding != 0 {
		return 0
	}
	return near
}
