package tube

import (
	"context"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"barover/solver/expr"
	"barover/solver/trial"
	"barover/solver/trial/draws"
)

// wavy is a crank, which does not turn evenly, and one to three rods after it, each from the pin or from a point of the rod
// before to a rocker or to a slide. It solves itself by two circles, or a circle and a line, and shares nothing with the solver.
type wavy struct {
	crank, swing, waves float64
	rods                []wavyRod
}

type wavyRod struct {
	from        int        // the rod whose point it starts from; -1 for the crank pin
	slides      bool       // along a line through pivot
	pivot       complex128 // mm
	heading     float64    // of the line, rad
	rod, rocker float64    // mm
	side        float64
	point       complex128 // on the rod, in its own axes, mm
}

func (w *wavy) heading(turn float64) float64 { return turn + w.swing*math.Sin(w.waves*turn) }

// pose returns the far ends of the rods at a turn, and the least of the squared distances by which they reach, mm²: it is below
// zero where there is no position.
func (w *wavy) pose(turn float64) (ends []complex128, reach float64) {
	pin := cmplx.Rect(w.crank, w.heading(turn))
	points := []complex128{}
	reach = math.Inf(1)
	for _, r := range w.rods {
		from := pin
		if r.from >= 0 {
			from = points[r.from]
		}
		var end complex128
		var h float64
		if r.slides {
			u := cmplx.Rect(1, r.heading)
			off := (from - r.pivot) * cmplx.Conj(u)
			h = r.rod*r.rod - imag(off)*imag(off)
			end = r.pivot + u*complex(real(off)+r.side*math.Sqrt(max(h, 0)), 0)
		} else {
			d := r.pivot - from
			long := cmplx.Abs(d)
			along := (long*long + r.rod*r.rod - r.rocker*r.rocker) / (2 * long)
			h = r.rod*r.rod - along*along
			end = from + d/complex(long, 0)*complex(along, r.side*math.Sqrt(max(h, 0)))
		}
		reach = min(reach, h)
		if h < 0 {
			return ends, reach
		}
		ends = append(ends, end)
		points = append(points, from+(end-from)/complex(r.rod, 0)*r.point)
	}
	return ends, reach
}

func randomWavy(rnd *rand.Rand) (w wavy, start float64, ok bool) {
	size := func() float64 { return 20 + 80*rnd.Float64() }
	place := func() complex128 { return complex(200*rnd.Float64()-100, 200*rnd.Float64()-100) }
	w = wavy{crank: size(), swing: 0.2 * rnd.Float64(), waves: float64(1 + rnd.IntN(60))}
	for k := range 1 + rnd.IntN(3) {
		r := wavyRod{from: -1, slides: rnd.IntN(2) == 0, pivot: place(), heading: 6 * rnd.Float64(), rod: size(), rocker: size(), side: float64(2*rnd.IntN(2) - 1), point: place() / 2}
		if k > 0 && rnd.IntN(3) > 0 {
			r.from = k - 1
		}
		w.rods = append(w.rods, r)
	}
	best := 0.0
	for i := range draws.Of(200) {
		turn := float64(i) * math.Pi / 100
		if _, reach := w.pose(turn); reach > best {
			best, start = reach, turn
		}
	}
	return w, start, best > 25
}

// sketch draws it, as it stands at a turn.
func (w *wavy) sketch(start float64) *trial.Sketch {
	s := trial.New(0)
	g := s.Graph
	o := s.Fixed(0, 0)
	pin := s.Found(w.crank*math.Cos(w.heading(start)), w.crank*math.Sin(w.heading(start)))
	s.Length(o, pin, s.Num(w.crank))
	s.Heading(o, pin, g.Add(g.Turn(), g.Mul(s.Num(w.swing), g.Unary(expr.Sin, g.Mul(s.Num(w.waves), g.Turn())))))
	ends, _ := w.pose(start)
	var points []int
	for k, r := range w.rods {
		from := pin
		if r.from >= 0 {
			from = points[r.from]
		}
		end, pivot := s.Found(real(ends[k]), imag(ends[k])), s.Fixed(real(r.pivot), imag(r.pivot))
		s.Length(from, end, s.Num(r.rod))
		if r.slides {
			s.Slide(end, s.Line(pivot, s.Num(r.heading)))
		} else {
			s.Length(pivot, end, s.Num(r.rocker))
		}
		points = append(points, s.On(s.Part(from, end), real(r.point), imag(r.point)))
	}
	return s
}

// most searches a stretch densely for the greatest reach, and returns it and where it is.
func (w *wavy) most(over Range) (reach, at float64) {
	const looks = 3000
	value := func(t float64) float64 { _, v := w.pose(t); return v }
	v := make([]float64, looks+1)
	step := (over.To - over.From) / looks
	for i := range v {
		v[i] = value(over.From + step*float64(i))
	}
	reach = math.Inf(-1)
	for i := range v {
		if i > 0 && v[i-1] > v[i] || i < looks && v[i+1] > v[i] {
			continue
		}
		a, b := over.From+step*float64(max(i-1, 0)), over.From+step*float64(min(i+1, looks))
		for range 60 {
			if x, y := a+(b-a)/3, b-(b-a)/3; value(x) < value(y) {
				a = x
			} else {
				b = y
			}
		}
		if t := a + (b-a)/2; value(t) > reach {
			reach, at = value(t), t
		}
	}
	return reach, at
}

// gapsOf follows random linkages by long steps, and calls tell for every stretch in which no position was found.
func gapsOf(t *testing.T, seed uint64, cases int, spoil func(*Absence), tell func(name string, w *wavy, over Range, sure []Range)) {
	t.Helper()
	rnd := rand.New(rand.NewPCG(seed, 0))
	ctx := context.Background()
	for i := range cases {
		w, start, ok := randomWavy(rnd)
		step := (1 + 9*rnd.Float64()) * degree
		if !ok {
			continue
		}
		b := bench{"wavy", w.sketch(start), round(start), nil, nil}
		l, err := b.s.Link(start)
		if err != nil {
			continue // near a dead centre, or it can be assembled in two ways as near
		}
		mo, err := l.Follow(ctx, nil, b.over.From, b.over.To, step)
		if err != nil {
			t.Fatal(err)
		}
		broken := mo.Broken()
		a := NewAbsence(l.Schedule(), l.Values())
		spoil(a)
		for k := range broken {
			over := Range{broken[k].From, broken[k].To}
			tell(fmt.Sprintf("case %d, %d rods, from %.9g to %.9g", i, len(w.rods), over.From/degree, over.To/degree), &w, over,
				a.Absent(ctx, over, nil, NewBeside(l, mo, over)))
		}
	}
}

// TestAbsent: no position lies where it is proved that there is none, also not over a stretch that is shorter than a step. What is
// proved reaches to the dead centres at either end.
func TestAbsent(t *testing.T) {
	gaps, whole, found := 0, 0, 0
	gapsOf(t, 3, 60, func(*Absence) {}, func(name string, w *wavy, over Range, sure []Range) {
		if gaps++; len(sure) == 1 && sure[0] == over {
			whole++
		} else if reach, _ := w.most(Range{over.From + 1e-6, over.To - 1e-6}); reach > 0 {
			found++
		}
		for _, s := range sure {
			if reach, at := w.most(Range{s.From + 1e-9, s.To - 1e-9}); reach > 1e-7 {
				t.Errorf("%s: it reaches by %.3g mm² at %.12g°, where there is none", name, reach, at/degree)
			}
		}
	})
	t.Logf("%d gaps, %d proved, in %d of the others a position", gaps, whole, found)
	if unknown := gaps - whole - found; unknown > gaps/10 || found < 5 || whole < draws.Of(50) {
		t.Errorf("%d gaps, %d proved, in %d of the others a position", gaps, whole, found)
	}
}

// TestAbsentSpoilt: positions are found where the centre of a box counts for all of it.
func TestAbsentSpoilt(t *testing.T) {
	wrong := 0
	gapsOf(t, 3, 40, func(a *Absence) { a.centre = true }, func(_ string, w *wavy, _ Range, sure []Range) {
		for _, s := range sure {
			if reach, _ := w.most(Range{s.From + 1e-9, s.To - 1e-9}); reach > 1e-7 {
				wrong++
			}
		}
	})
	if wrong == 0 {
		t.Error("nothing is found")
	}
}
