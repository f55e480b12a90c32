package sheet

import (
	"math"
	"testing"

	"barover/render/dxf"
	"barover/solver"
	"barover/solver/plane"
)

// TestFileAtTrueSize: a file of an engine has a layer a part, and each arc and line of it lies on the outline of one of the part's
// profiles at the position that is drawn, by chords of it.
func TestFileAtTrueSize(t *testing.T) {
	e := mill(t)
	o := options()
	o.At = &solver.Position{Turn: 1.1}
	b := NewBook(e, o)
	f, ok := b.File(true)
	if !ok || !f.Inches {
		t.Fatal("no file in inches")
	}
	layers := map[string]*dxf.Layer{}
	for _, l := range f.Layers {
		layers[l.Name] = l
	}
	pose, _ := e.Poses.Pose(1.1, nil)
	seen := map[string]int{}
	for i, p := range e.Problem.Profiles {
		name := dxf.Name(e.Problem.Linkage.Parts[p.Part].Name)
		l := layers[name]
		if l == nil {
			t.Fatalf("no layer %s: %v", name, layers)
		}
		runs, _ := PathOf(e.Regions[i]).Placed(pose.Part[p.Part]).Flat(1e-4)
		for _, run := range runs {
			for _, q := range run {
				if d := off(l, q); d > 1e-3 {
					t.Errorf("%s: %v of its outline is %v off what layer %s has", p.Name, q, d, name)
				}
			}
		}
		seen[name] = len(l.Entities)
	}
	if len(seen) < 4 || len(layers["POINTS"].Entities) != 2*3 {
		t.Errorf("layers %v, points %v", seen, layers["POINTS"])
	}
	e.Poses = sliderCrank{throw: 22, rod: 133.35, dead: [2]float64{1, 2}}
	if _, ok := NewBook(e, o).File(false); ok {
		t.Error("an engine that cannot be assembled has a file")
	}
}

// off is how far a place is off the entities of a layer.
func off(l *dxf.Layer, q plane.Vec) float64 {
	least := math.Inf(1)
	for _, e := range l.Entities {
		switch e := e.(type) {
		case dxf.Line:
			least = min(least, toLine(q, e.A, e.B))
		case dxf.Circle:
			least = min(least, math.Abs(q.Sub(e.C).Len()-e.R))
		case dxf.Arc:
			turn := math.Mod(math.Atan2(q.Y-e.C.Y, q.X-e.C.X)-e.From+4*math.Pi, 2*math.Pi)
			if turn <= math.Mod(e.To-e.From+4*math.Pi, 2*math.Pi)+1e-6 || turn > 2*math.Pi-1e-6 {
				least = min(least, math.Abs(q.Sub(e.C).Len()-e.R))
			}
		}
	}
	return least
}

func toLine(q, a, b plane.Vec) float64 {
	u := b.Sub(a)
	return q.Sub(a.Add(u.Scale(max(0, min(1, q.Sub(a).Dot(u)/u.Dot(u)))))).Len()
}
