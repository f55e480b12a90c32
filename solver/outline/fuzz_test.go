package outline

import (
	"encoding/binary"
	"math"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
)

// shapesOf reads shapes from bytes: a byte for the kind and its choices, then numbers of two bytes in half units, so that
// edges fall on one another often; every fourth is taken from eight bytes as it stands.
func shapesOf(data []byte, d *draft) []Shape {
	next := func() float64 {
		if len(data) > 8 && data[0]%4 == 3 {
			v := math.Float64frombits(binary.LittleEndian.Uint64(data[1:9]))
			data = data[9:]
			return v
		}
		if len(data) < 2 {
			data = nil
			return 1
		}
		v := float64(int8(data[1])) / 2
		data = data[2:]
		return v
	}
	var shapes []Shape
	for len(data) > 2 && len(shapes) < 12 {
		k := data[0]
		data = data[1:]
		var s Shape
		switch k & 3 {
		case 0:
			s = d.disc(next(), next(), next())
		case 1:
			s = d.strip(next(), next(), next(), next(), next(), next(), k&8 != 0)
		case 2:
			s = d.box(next(), next(), next(), next())
		default:
			legs := make([]leg, 1+int(k>>5))
			for i := range legs {
				legs[i] = leg{x: next(), y: next(), r: next(), long: k&16 != 0}
				if k&8 != 0 {
					legs[i].r = 0
				}
			}
			s = d.path(next(), next(), legs...)
		}
		s.Hole = k&4 != 0
		shapes = append(shapes, s)
	}
	return shapes
}

// FuzzBuild makes outlines of shapes of any numbers. What can be made must be whole: closed loops, a finite area, pieces
// that lie within, and a distance to itself that is no number too many.
func FuzzBuild(f *testing.F) {
	f.Add([]byte("\x00\x00\x00\x00\x00\x00\x14"))
	f.Add([]byte("\x01\x00\x00\x00\x00\x00\x28\x00\x00\x00\x0a\x00\x0a\x04\x00\x00\x00\x00\x00\x06"))
	f.Add([]byte("\x02\x00\x00\x00\x00\x00\x28\x00\x14\x06\x00\x05\x00\x05\x00\x0a\x00\x14"))
	f.Add([]byte("\x63\x00\x14\x00\x00\x00\x14\x00\x14\x00\x14\x00\x00\x00\x00\x00\x28\x00\x14\x00\x00\x00\x00\x00\x00"))
	f.Fuzz(func(t *testing.T, data []byte) {
		d := &draft{}
		shapes := shapesOf(data, d)
		r, err := Build(shapes, expr.Resolve(&d.Graph, nil))
		if err != nil {
			if _, ok := err.(*Fault); !ok || r != nil {
				t.Fatalf("%T with a region: %v", err, r != nil)
			}
			return
		}
		if !(r.Area > 0) || math.IsInf(r.Area, 0) || !(r.Radius > 0) || len(r.Pieces) == 0 {
			t.Fatalf("area %g, radius %g, %d pieces", r.Area, r.Radius, len(r.Pieces))
		}
		for _, l := range r.Loops {
			for i := range l {
				if gap := l[i].B.Sub(l[(i+1)%len(l)].A).Len(); gap > 10*joinedMost*r.Radius {
					t.Fatalf("a loop open by %g of %g", gap, r.Radius)
				}
			}
		}
		at := plane.Placement{Origin: plane.Vec{X: 0.3 * r.Radius, Y: 0.1 * r.Radius}, Dir: plane.Polar(0.7)}
		n := Distance(r, plane.Fixed, r, at)
		if math.IsNaN(n.D) || math.IsInf(n.D, 0) || !(math.Abs(n.Normal.Len()-1) < 1e-6) {
			t.Fatalf("distance %g, normal %v", n.D, n.Normal)
		}
	})
}
