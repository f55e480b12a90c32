package machine

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/schedule"
)

// wavy is two coupled axles whose loose rods leave the second to the smallest maximum, on a road of waves: ranges lift it and twist its
// quartering, so that what is worst lies anywhere in the ranges. Its truth is a dense grid over the turn and every range, with the pose
// found by bisection of a bracket, and descent from the best places of the grid.
type wavy struct {
	base, throw, lead float64 // between the axles; throws, mm
	angle, rod, play  []float64
	lift, twist       []wave // of each range: mm, rad
	ranges            [][2]float64
	steps             int
}

// wave is a part of a sum: size·sin(by·range + from).
type wave struct{ size, by, from float64 }

func anyWavy(rng *rand.Rand, ranges int) *wavy {
	within := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	w := &wavy{base: within(60, 200), throw: within(10, 25), steps: 4 + rng.IntN(2)}
	w.lead = w.throw + within(-0.05, 0.05)
	for i, a := range []float64{0, 90, within(30, 60)} {
		if i == 2 && rng.IntN(2) == 0 {
			break
		}
		w.angle, w.rod, w.play = append(w.angle, a*deg), append(w.rod, w.base+within(-0.1, 0.1)), append(w.play, within(0.05, 0.4))
	}
	for range ranges {
		w.lift = append(w.lift, wave{within(1, 3), within(0.3, 4), within(-3, 3)})
		w.twist = append(w.twist, wave{within(0.2, 0.6) * deg, within(0.3, 4), within(-3, 3)})
		w.ranges = append(w.ranges, [2]float64{-within(1, 4), within(1, 4)})
	}
	return w
}

// draft asks how far each rod is missed, and two sums of the pose.
func (w *wavy) draft() *draft {
	d := newDraft(0, 360, 5)
	lift, twist := d.num(0), d.num(90*deg)
	for k, r := range w.ranges {
		var steps []float64
		for i := range w.steps {
			steps = append(steps, r[0]+(r[1]-r[0])*float64(i)/float64(w.steps-1))
		}
		v := d.travel("range", 0, true, steps...)
		add := func(to expr.ID, a wave) expr.ID {
			return d.g.Add(to, d.g.Mul(d.num(a.size), d.g.Unary(expr.Sin, d.g.Add(d.g.Mul(d.num(a.by), v), d.num(a.from)))))
		}
		lift, twist = add(lift, w.lift[k]), add(twist, w.twist[k])
	}
	o, q := d.fixed("o", 0, 0), d.at("q", d.num(w.base), lift)
	p, n := d.found("p"), d.near("n", w.base+w.lead, 0)
	d.crank(o, p, d.num(w.throw))
	d.length(q, n, d.num(w.lead))
	driving, leading := d.part("driving", o, p), d.part("leading", q, n)
	for i, a := range w.angle {
		from, to := p, n
		if i > 0 {
			at := d.num(a)
			from = d.onPart("from", driving, d.num(w.throw*math.Cos(a)), d.num(w.throw*math.Sin(a)))
			if i == 1 {
				at = twist
			}
			to = d.onPart("to", leading, d.g.Mul(d.num(w.lead), d.g.Unary(expr.Cos, at)), d.g.Mul(d.num(w.lead), d.g.Unary(expr.Sin, at)))
		}
		play := d.num(w.play[i])
		e := d.hold(schedule.Equation{Kind: schedule.Length, P: from, Q: to, R: -1, On: -1, V: d.num(w.rod[i]), Loose: true, Play: play})
		d.p.Checks = append(d.p.Checks, solver.Check{Kind: solver.Loose, Stmt: d.next(), Equation: e, Sum: expr.None, AtLeast: expr.None, AtMost: play})
	}
	d.measure("higher", d.g.Sub(d.g.Y(n), d.g.Y(p)))
	d.measure("farther", d.g.Mul(d.g.Sub(d.g.X(n), d.g.X(p)), d.g.Unary(expr.Cos, d.g.Mul(d.num(3), d.g.Turn()))))
	return d
}

// figures is what the rods are missed by, and the two sums, at a place: the turn and the ranges.
func (w *wavy) figures(at []float64) []float64 {
	lift, twist := 0.0, 90*deg
	for k, v := range at[1:] {
		lift += w.lift[k].size * math.Sin(w.lift[k].by*v+w.lift[k].from)
		twist += w.twist[k].size * math.Sin(w.twist[k].by*v+w.twist[k].from)
	}
	hub := complex(w.base, lift)
	missed := func(i int, lag float64) float64 {
		a, b := w.angle[i], w.angle[i]
		if i == 1 {
			b = twist
		}
		return cmplx.Abs(hub+cmplx.Rect(w.lead, at[0]+lag+b)-cmplx.Rect(w.throw, at[0]+a)) - w.rod[i]
	}
	worst := func(lag float64) (most float64) {
		for i := range w.angle {
			most = math.Max(most, math.Abs(missed(i, lag))/w.play[i])
		}
		return most
	}
	const reach, coarse = 3 * deg, 12
	best, v := 0.0, math.Inf(1)
	for i := -coarse; i <= coarse; i++ {
		if x := worst(reach * float64(i) / coarse); x < v {
			best, v = reach*float64(i)/coarse, x
		}
	}
	a, b := best-reach/coarse, best+reach/coarse
	for range 45 {
		c, d := a+0.381966*(b-a), b-0.381966*(b-a)
		if worst(c) < worst(d) {
			b = d
		} else {
			a = c
		}
	}
	lag := (a + b) / 2
	var out []float64
	for i := range w.angle {
		out = append(out, missed(i, lag))
	}
	p, n := cmplx.Rect(w.throw, at[0]), hub+cmplx.Rect(w.lead, at[0]+lag)
	return append(out, imag(n)-imag(p), (real(n)-real(p))*math.Cos(3*at[0]))
}

// extremes is the least and the greatest of each figure.
func (w *wavy) extremes(rng *rand.Rand) (least, greatest []float64) {
	box := append([][2]float64{{0, 2 * math.Pi}}, w.ranges...)
	n := []int{145, 61}
	if len(w.ranges) > 1 {
		n = []int{73, 19, 19}
	}
	var places, values [][]float64
	at := make([]float64, len(box))
	var fill func(k int)
	fill = func(k int) {
		if k == len(box) {
			places, values = append(places, append([]float64(nil), at...)), append(values, w.figures(at))
			return
		}
		for i := range n[k] {
			at[k] = box[k][0] + (box[k][1]-box[k][0])*float64(i)/float64(n[k]-1)
			fill(k + 1)
		}
	}
	fill(0)
	descend := func(figure int, sign float64) float64 {
		best := math.Inf(1)
		var begun [][]float64
		for range 5 {
			from, v := -1, math.Inf(1)
			for i, p := range places {
				apart := true
				for _, b := range begun {
					near := true
					for k := range box {
						near = near && math.Abs(p[k]-b[k]) < 0.08*(box[k][1]-box[k][0])
					}
					apart = apart && !near
				}
				if x := sign * values[i][figure]; x < v && apart {
					from, v = i, x
				}
			}
			begun = append(begun, places[from])
			at, step := append([]float64(nil), places[from]...), 1.0
			for range 250 {
				next := make([]float64, len(at))
				for k := range next {
					d := rng.NormFloat64() * step * (box[k][1] - box[k][0]) / float64(n[k]-1)
					next[k] = math.Min(math.Max(at[k]+d, box[k][0]), box[k][1])
				}
				if x := sign * w.figures(next)[figure]; x < v {
					at, v, step = next, x, step*1.3
				} else {
					step *= 0.93
				}
			}
			best = math.Min(best, v)
		}
		return best
	}
	for i := range len(w.angle) + 2 {
		least, greatest = append(least, descend(i, 1)), append(greatest, -descend(i, -1))
	}
	return least, greatest
}

// What loose lines place is looked at between the steps of ranges wherever it could be worse, over the turn and every range at once.
func TestLooseBetweenSteps(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 41))
	n := 1 + *rangesCount/20
	for i := range n {
		w := anyWavy(rng, 1+(i%5+1)/min(n, 5)) // two ranges in one of five
		d := w.draft()
		res := d.study(t, d.drawn())
		least, greatest := w.extremes(rng)
		for k, f := range res.Findings {
			got, want := math.Max(-f.Least, f.Greatest), math.Max(-least[k], greatest[k])
			if !(got >= want-1e-3) || f.OK != (want <= w.play[k]) && math.Abs(want-w.play[k]) > 1e-3 {
				t.Errorf("%d: rod %d missed by %v, want %v; ok %v, play %v", i, k, got, want, f.OK, w.play[k])
			}
		}
		for k, e := range res.Extremes {
			lo, hi := least[len(w.angle)+k], greatest[len(w.angle)+k]
			if !(e.Least <= lo+1e-3) || !(e.Greatest >= hi-1e-3) {
				t.Errorf("%d: sum %d from %v to %v, want %v to %v", i, k, e.Least, e.Greatest, lo, hi)
			}
		}
	}
}

// What no limit judges is sought between the steps of ranges as well: it is told beside the margin.
func TestSeenExtremesThatNothingJudges(t *testing.T) {
	d := newDraft(0, 360, 5)
	v := d.travel("range", 0, true, 0, 1, 2, 3)
	o, end := d.fixed("o", 0, 0), d.found("end")
	d.arm(o, end, d.num(20), d.g.Turn())
	wave := d.g.Mul(d.num(10), d.g.Unary(expr.Sin, d.g.Mul(d.num(1.7), v)))
	d.keep(d.g.Add(wave, d.g.Y(end)), d.num(-100), expr.None)
	res, err := study(t.Context(), d.p, d.drawn(), Options{Sampled: true})
	if err != nil {
		t.Fatal(err)
	}
	if f := res.Findings[0]; f.Sure != solver.Sampled || !(math.Abs(f.Greatest-30) <= 2e-4) || !(math.Abs(f.Least+30) <= 2e-4) {
		t.Errorf("%v: from %v to %v, want -30 to 30", f.Sure, f.Least, f.Greatest)
	}
}
