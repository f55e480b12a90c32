package outline

import (
	"math"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
)

// rod is a rod with two eyes: three shapes and two holes, ten edges.
func rod(d *draft) []Shape {
	return []Shape{d.strip(0, 0, 100, 0, 12, 8, false), d.disc(0, 0, 26), d.disc(100, 0, 18), hole(d.disc(0, 0, 14)), hole(d.disc(100, 0, 8))}
}

// lobed is a convex path of ten edges, every other one an arc.
func lobed(d *draft) []Shape {
	at := func(i int) plane.Vec { return plane.Polar(2 * math.Pi * float64(i) / 10).Scale(15) }
	var legs []leg
	for i := 1; i <= 10; i++ {
		legs = append(legs, leg{x: at(i % 10).X, y: at(i % 10).Y, r: 18 * float64(i%2)})
	}
	return []Shape{d.path(at(0).X, at(0).Y, legs...)}
}

// usual are pairs as an engine has them.
var usual = []struct {
	name string
	a, b func(d *draft) []Shape
	at   plane.Placement
}{
	{"disc-disc", one(disc(0, 0, 10)), one(disc(0, 0, 10)), placed(12, 3, 0.3)},
	{"disc-box", one(disc(0, 0, 10)), one(box(0, 0, 20, 10)), placed(8, 3, 0.3)},
	{"bar-bar", one(strip(0, 0, 40, 0, 10)), one(strip(0, 0, 40, 0, 10)), placed(20, 15, 0.7)},
	{"bar-bar-overlap", one(strip(0, 0, 40, 0, 10)), one(strip(0, 0, 40, 0, 10)), placed(20, 5, 0.7)},
	{"convex10-convex10", lobed, lobed, placed(33, 5, 0.2)},
	{"rod-rod", rod, rod, placed(30, 25, 0.4)},
	{"rod-rod-overlap", rod, rod, placed(30, 5, 0.4)},
	{"pin-eye", one(disc(0, 0, 13.9)), rod, placed(0.02, 0, 0.4)},
	{"pin-eye-overlap", one(disc(0, 0, 13.9)), rod, placed(0.2, 0, 0.4)},
}

// TestNoAllocation: measuring takes no memory, so that it can stand in the turn.
func TestNoAllocation(t *testing.T) {
	for _, c := range usual {
		d := &draft{}
		p, q := d.build(t, c.a(d)...), d.build(t, c.b(d)...)
		if n := testing.AllocsPerRun(10, func() { Distance(p, plane.Fixed, q, c.at) }); n > 0 {
			t.Errorf("%s: %g allocations", c.name, n)
		}
	}
}

// BenchmarkDistance measures one pair in one position.
func BenchmarkDistance(b *testing.B) {
	for _, c := range usual {
		b.Run(c.name, func(b *testing.B) {
			d := &draft{}
			p, q := d.build(b, c.a(d)...), d.build(b, c.b(d)...)
			b.ReportAllocs()
			for b.Loop() {
				Distance(p, plane.Fixed, q, c.at)
			}
		})
	}
}

// BenchmarkBuild makes a rod with two eyes, pieces and all.
func BenchmarkBuild(b *testing.B) {
	d := &draft{}
	shapes := rod(d)
	v := expr.Resolve(&d.Graph, nil)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Build(shapes, v); err != nil {
			b.Fatal(err)
		}
	}
}
