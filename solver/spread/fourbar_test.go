package spread_test

import (
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/plane"
	"barover/solver/spread"
	"barover/solver/trial"
	"barover/solver/trial/engine"
)

// fourBar is a crank, a coupler, a rocker and the distance of their fixed pivots, and a point of the coupler, along it from the crankpin and
// square to it.
type fourBar struct{ crank, coupler, rocker, base, along, aside float64 }

// at is where the rocker's pin and the point stand.
func (f *fourBar) at(turn float64) (knee, point plane.Vec) {
	pin := plane.Polar(turn).Scale(f.crank)
	to := plane.Vec{X: f.base}.Sub(pin)
	u, far := to.Unit(), to.Len()
	x := (far*far + f.coupler*f.coupler - f.rocker*f.rocker) / (2 * far)
	knee = pin.Add(u.Scale(x)).Add(u.Turned().Scale(math.Sqrt(f.coupler*f.coupler - x*x)))
	u = knee.Sub(pin).Unit()
	return knee, pin.Add(u.Scale(f.along)).Add(u.Turned().Scale(f.aside))
}

// greatest is the greatest of a figure over the turn: of samples, and of the parabola through the best and its neighbours.
func greatest(figure func(turn float64) float64) float64 {
	const step = math.Pi / 1800
	v, best := make([]float64, 3601), 1
	for k := range v {
		if v[k] = figure(step * float64(k)); k > 0 && k < 3600 && v[k] > v[best] {
			best = k
		}
	}
	a, b, c := v[best-1], v[best], v[best+1]
	return b + (a-c)*(a-c)/(8*(2*b-a-c))
}

// Bounds of what a four-bar does are near the worst of all corners of its tolerances, by closed form, where these do much beyond straight lines:
// a rocker 8° from its dead centre, and what is greatest over the turn, lengths and angles.
func TestFourBarBoundIsNear(t *testing.T) {
	type figure struct {
		sum   func(g *expr.Graph, knee, point int, rocker expr.ID) expr.ID
		of    func(f *fourBar) float64
		angle bool
	}
	reach := figure{func(g *expr.Graph, knee, _ int, _ expr.ID) expr.ID { return g.X(knee) },
		func(f *fourBar) float64 {
			return greatest(func(turn float64) float64 { k, _ := f.at(turn); return k.X })
		}, false}
	far := figure{func(g *expr.Graph, _, p int, _ expr.ID) expr.ID {
		return g.Unary(expr.Greatest, g.Binary(expr.Hypot, g.X(p), g.Y(p)))
	}, func(f *fourBar) float64 {
		return greatest(func(turn float64) float64 { _, p := f.at(turn); return p.Len() })
	}, false}
	angle := func(f *fourBar, sign float64) float64 {
		return greatest(func(turn float64) float64 { k, _ := f.at(turn); return sign * math.Asin(k.Y/f.rocker) })
	}
	swing := figure{func(g *expr.Graph, knee, _ int, rocker expr.ID) expr.ID {
		return g.Unary(expr.Span, g.Unary(expr.Asin, g.Div(g.Y(knee), rocker)))
	}, func(f *fourBar) float64 { return angle(f, 1) + angle(f, -1) }, true}
	for _, c := range []struct {
		fourBar
		tol float64
		figure
	}{
		{fourBar{35.9435, 75.3984, 50.9615, 61.862, 36.7497, -17.2467}, 0.15, reach},
		{fourBar{29.7155, 118.7829, 68.2831, 83.9997, 110.0303, 26.0712}, 0.08, far},
		{fourBar{34.0944, 70.4055, 89.6348, 110.846, 52.0321, 5.4692}, 0.004, swing},
	} {
		s := trial.New(0)
		g := s.Graph
		p := &solver.Problem{Graph: g, Linkage: &s.Model, Turn: solver.Turn{Name: "crank", From: 0, To: 2 * math.Pi, Step: math.Pi / 36}}
		var tols []spread.Tolerance
		var dim []expr.ID
		for i, v := range []float64{c.crank, c.coupler, c.rocker, c.base, c.along, c.aside} {
			p.Dims = append(p.Dims, solver.Dim{Name: string(rune('a' + i))})
			dim = append(dim, g.Dim(s.Num(v)))
			tols = append(tols, spread.Tolerance{Dim: i, Value: v, Lower: -c.tol, Upper: c.tol})
		}
		k, _ := c.at(0)
		shaft, pivot, pin, knee := s.Fixed(0, 0), s.Driven(dim[3], s.Num(0)), s.Found(0, 0), s.Found(k.X, k.Y)
		s.Length(shaft, pin, dim[0])
		s.Heading(shaft, pin, g.Turn())
		s.Length(pin, knee, dim[1])
		s.Length(pivot, knee, dim[2])
		point := s.On(s.Part(pin, knee), 0, 0)
		s.Points[point].U, s.Points[point].V = dim[4], dim[5]
		p.Checks = []solver.Check{{Kind: solver.Keep, Sum: c.sum(g, knee, point, dim[2]), Angle: c.angle, AtLeast: expr.None, AtMost: g.Const(1000)}}
		a, err := spread.Spread(t.Context(), spread.Ask{Problem: p, Vary: engine.Varied(p, expr.Resolve(g, nil)), Tolerances: tols, Samples: 1}, machine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		now, worst := c.of(&c.fourBar), math.Inf(-1)
		for corner := range 64 {
			f := c.fourBar
			for i, v := range []*float64{&f.crank, &f.coupler, &f.rocker, &f.base, &f.along, &f.aside} {
				*v += c.tol * float64(2*(corner>>i&1)-1)
			}
			worst = max(worst, c.of(&f))
		}
		proved := a.Checks[0].Proved
		if share := (proved - worst) / (worst - now); !(proved >= worst-1e-8) || !(share <= 0.05) {
			t.Errorf("%v ± %v: proved %v, worst %v, now %v: off by %.2f %% of the change", c.fourBar, c.tol, proved, worst, now, 100*share)
		}
	}
}
