package sweep

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/plane"
)

// TestShakenAreas holds what parts pass over in their play against areas in closed form.
func TestShakenAreas(t *testing.T) {
	const play, tol = 0.4, 1e-4
	round := func(k float64) Shift { // an eye at so much of the way along the bar goes off; the other eye stays
		return Shift{{By: plane.Vec{X: play}}, {By: plane.Vec{Y: play * (1 - k)}, Turn: play * k / 100}}
	}
	bar := rod(0, 0, 100, 0, 6)
	ring := []Piece{{Marks: []Mark{Disc(plane.Vec{}, 20)}, Bite: Disc(plane.Vec{}, 12)}}
	both := Shift{{By: plane.Vec{X: play}}, {By: plane.Vec{Y: play}}}
	line := Shift{{}, {By: plane.Vec{Y: play}}}
	for _, c := range []struct {
		name   string
		pieces []Piece
		shifts []Shift
		want   float64
		within float64
	}{
		{"no play", bar, nil, 1200 + 36*math.Pi, 1e-4},
		{"a disc", bar, []Shift{both}, 100*2*(6+play) + math.Pi*(6+play)*(6+play), 1e-4},
		{"two discs add up", bar, []Shift{both, both}, 100*2*(6+2*play) + math.Pi*(6+2*play)*(6+2*play), 1e-4},
		{"a line", bar, []Shift{line}, 1200 + 36*math.Pi + 2*play*112, 1e-4},
		// Along the bar both ends go by as much; square to it the bar is a wedge.
		{"one eye", bar, []Shift{round(1)}, 1200 + 36*math.Pi + 100*play + 2*play*12 + math.Pi*6*play/2, 1e-2},
		{"a ring", ring, []Shift{both}, math.Pi * ((20+play)*(20+play) - (12-play)*(12-play)), 1e-3},
	} {
		got := area(Shaken(c.pieces, [][]Stand{{{plane.Fixed, c.shifts}}}, tol))
		if !(math.Abs(got/c.want-1) <= c.within) {
			t.Errorf("%s: area %.4f, want %.4f", c.name, got, c.want)
		}
	}
}

// TestShakenHoldsEveryPlace draws shifts and places in them: no corner of the part lies outside the outline, and the outline lies no farther
// out than its corners come.
func TestShakenHoldsEveryPlace(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 2))
	nudge := func() Nudge {
		return Nudge{plane.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64()}.Scale(0.02), 0.0005 * rng.NormFloat64()}
	}
	for range 40 {
		piece := Piece{}
		for range 3 + rng.IntN(5) {
			at := plane.Polar(2 * math.Pi * rng.Float64())
			piece.Marks = append(piece.Marks, Mark{C: plane.Vec{X: 60 * at.X, Y: 15 * at.Y}})
		}
		s := Stand{Placement: plane.Placement{Origin: plane.Vec{X: 5, Y: -3}, Dir: plane.Polar(6 * rng.Float64())}}
		for range 1 + rng.IntN(6) {
			s.Shifts = append(s.Shifts, Shift{nudge(), nudge()})
			if rng.IntN(3) == 0 {
				s.Shifts[len(s.Shifts)-1][0] = Nudge{}
			}
		}
		edge := piece.shaken(&s, 1e-3)[0]
		widest := 0.0 // how far any corner goes at most
		for _, m := range piece.Marks {
			for k := range 64 {
				n := plane.Polar(math.Pi * float64(k) / 32)
				widest = max(widest, s.off(s.Out(m.C), n).Dot(n))
			}
		}
		for range 50 {
			n := plane.Polar(2 * math.Pi * rng.Float64())
			reach, most, came := math.Inf(-1), math.Inf(-1), math.Inf(-1)
			for _, v := range edge {
				reach = max(reach, n.Dot(v))
			}
			for _, m := range piece.Marks {
				q := s.Out(m.C)
				most = max(most, n.Dot(q)+s.off(q, n).Dot(n))
				by := q
				for _, shift := range s.Shifts {
					at := plane.Polar(2 * math.Pi * rng.Float64()).Scale(math.Sqrt(rng.Float64()))
					for k, w := range [2]float64{at.X, at.Y} {
						by = by.Add(shift[k].By.Add(q.Sub(s.Origin).Turned().Scale(shift[k].Turn)).Scale(w))
					}
				}
				came = max(came, n.Dot(by))
			}
			if least := most - 0.1*widest - 1e-9; came > most+1e-9 || reach > most+1e-9 || reach < least {
				t.Fatalf("towards %v the outline reaches %.6f, a place drawn %.6f, the farthest %.6f", n, reach, came, most)
			}
		}
	}
}
