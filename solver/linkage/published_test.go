package linkage

import (
	"math"
	"testing"

	"barover/solver/plane"
)

// fourBar is a crank a, coupler b and rocker c over a ground d on +x, with the rocker pin looked for near a place.
func fourBar(a, b, c, d, u, v float64) (*draft, int, int) {
	s := newDraft()
	o := s.fixed("o", 0, 0)
	r := s.fixed("r", d, 0)
	p := s.found("crankpin")
	q := s.near("rockerpin", u, v)
	s.crank(o, p, a)
	s.length(p, q, s.num(b))
	s.length(r, q, s.num(c))
	s.rod("coupler", p, q)
	s.rod("rocker", r, q)
	return s, p, q
}

func degrees(d plane.Vec) float64 { return math.Atan2(d.Y, d.X) / deg }

// R. L. Norton, Design of Machinery, four-bar position example: both circuits, recomputed to 30 digits (T01).
func TestFourBarBothCircuits(t *testing.T) {
	for _, c := range []struct {
		name       string
		u, v       float64
		th3, th4   float64
		coupler, r int
	}{
		{"open", 140, 60, 20.29788278, 57.32488007, 1, 2},
		{"crossed", 90, -80, -60.97796680, -98.00496408, 1, 2},
	} {
		s, _, _ := fourBar(40, 120, 80, 100, c.u, c.v)
		mo := s.motion(t, 40, 400, 1)
		p := pose(t, mo, 40)
		wantNumber(t, c.name+" θ3", degrees(p.Part[c.coupler].Dir), c.th3, 1e-7)
		wantNumber(t, c.name+" θ4", degrees(p.Part[c.r].Dir), c.th4, 1e-7)
		p = pose(t, mo, 400)
		wantNumber(t, c.name+" θ3 after a turn", degrees(p.Part[c.coupler].Dir), c.th3, 1e-7)
		if b := mo.Broken(); len(b) > 0 {
			t.Errorf("%s: broken %v", c.name, b)
		}
	}
}
