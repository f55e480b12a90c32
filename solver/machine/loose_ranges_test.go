package machine

import (
	"cmp"
	"maps"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/schedule"
)

// wavy is two coupled axles whose loose rods leave the second to the smallest maximum, on a road of waves: ranges lift it and twist its
// quartering, so that what is worst lies anywhere in the ranges. Its truth is a dense grid over the turn and every range, with the pose
// found by golden sections of every bracket, and descent from the best places of the grid.
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
		w.lift = append(w.lift, wave{within(1, 3), within(0.3, 4) / float64(ranges), within(-3, 3)})
		w.twist = append(w.twist, wave{within(0.2, 0.6) * deg, within(0.3, 4) / float64(ranges), within(-3, 3)})
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
	from, round := make([]complex128, len(w.angle)), make([]complex128, len(w.angle))
	for i, a := range w.angle {
		b := a
		if i == 1 {
			b = twist
		}
		from[i], round[i] = hub-cmplx.Rect(w.throw, at[0]+a), cmplx.Rect(w.lead, at[0]+b)
	}
	missed := func(i int, lag complex128) float64 {
		d := from[i] + round[i]*lag
		return math.Sqrt(real(d)*real(d)+imag(d)*imag(d)) - w.rod[i]
	}
	worst := func(lag complex128) (most float64) {
		for i := range w.angle {
			most = math.Max(most, math.Abs(missed(i, lag))/w.play[i])
		}
		return most
	}
	const reach, coarse = 10 * deg, 60
	var seen [2*coarse + 1]float64
	least, steepest := worst(1), w.lead*reach/coarse/slices.Min(w.play)
	for i := range seen {
		seen[i] = math.Inf(1)
	}
	for i := 0; i < len(seen); i++ {
		seen[i] = worst(cmplx.Rect(1, reach*float64(i-coarse)/coarse))
		least = math.Min(least, seen[i])
		i += int(math.Max(0, (seen[i]-least)/steepest-1)) // none of these, nor what lies up to the next, is below the least
	}
	lag, best := 0.0, math.Inf(1)
	for i := 1; i < len(seen)-1; i++ { // from every local least that could be the least of all
		if s := seen[i]; s > seen[i-1] || s > seen[i+1] || !(s-math.Min(math.Max(seen[i-1], seen[i+1])-s, steepest) <= least) {
			continue
		}
		a, b := reach*float64(i-1-coarse)/coarse, reach*float64(i+1-coarse)/coarse
		c, d := a+0.381966*(b-a), b-0.381966*(b-a)
		vc, vd := worst(cmplx.Rect(1, c)), worst(cmplx.Rect(1, d))
		for range 28 { // to 1e-8 rad
			if vc < vd {
				b, d, vd = d, c, vc
				c = a + 0.381966*(b-a)
				vc = worst(cmplx.Rect(1, c))
			} else {
				a, c, vc = c, d, vd
				d = b - 0.381966*(b-a)
				vd = worst(cmplx.Rect(1, d))
			}
		}
		if v := math.Min(vc, vd); v < best {
			lag, best = (a+b)/2, v
		}
	}
	var out []float64
	for i := range w.angle {
		out = append(out, missed(i, cmplx.Rect(1, lag)))
	}
	p, n := cmplx.Rect(w.throw, at[0]), hub+cmplx.Rect(w.lead, at[0]+lag)
	return append(out, imag(n)-imag(p), (real(n)-real(p))*math.Cos(3*at[0]))
}

// extremes is the least and the greatest of each figure: from every place of a grid that is no worse than its neighbours and could lead
// to the worst by the slopes to them.
func (w *wavy) extremes(rng *rand.Rand) (least, greatest []float64) {
	box := append([][2]float64{{0, 2 * math.Pi}}, w.ranges...)
	n := [][]int{nil, {145, 91}, {73, 25, 25}, {25, 13, 13, 13}}[len(w.ranges)]
	total := 1
	for _, k := range n {
		total *= k
	}
	place := func(i int) []float64 {
		at := make([]float64, len(box))
		for k := range box {
			at[k] = box[k][0] + (box[k][1]-box[k][0])*float64(i%n[k])/float64(n[k]-1)
			i /= n[k]
		}
		return at
	}
	values := make([][]float64, total)
	for i := range values {
		values[i] = w.figures(place(i))
	}
	extreme := func(figure int, sign float64) float64 {
		begin := map[int]float64{} // with what the figure could come to beside it
		best := math.Inf(1)
		for i := range values {
			v, stride, lowest := sign*values[i][figure], 1, true
			could := v
			for k := range box {
				far := 0.0
				for _, by := range [2]int{-1, 1} {
					if j := i/stride%n[k] + by; j >= 0 && j < n[k] {
						x := sign * values[i+by*stride][figure]
						lowest, far = lowest && v <= x, math.Max(far, x-v)
					}
				}
				could -= far / 2
				stride *= n[k]
			}
			if best = math.Min(best, v); lowest {
				begin[i] = could
			}
		}
		order := slices.SortedFunc(maps.Keys(begin), func(a, b int) int { return cmp.Or(cmp.Compare(begin[a], begin[b]), cmp.Compare(a, b)) })
		for _, i := range order {
			if begin[i] < best {
				best = math.Min(best, w.descend(rng, place(i), box, n, figure, sign))
			}
		}
		return best
	}
	for i := range len(w.angle) + 2 {
		least, greatest = append(least, extreme(i, 1)), append(greatest, -extreme(i, -1))
	}
	return least, greatest
}

// descend tries random steps from a place, shorter and shorter.
func (w *wavy) descend(rng *rand.Rand, at []float64, box [][2]float64, n []int, figure int, sign float64) float64 {
	v, step, next := sign*w.figures(at)[figure], 1.0, make([]float64, len(at))
	for range 120 * len(at) {
		for k := range next {
			d := rng.NormFloat64() * step * (box[k][1] - box[k][0]) / float64(n[k]-1)
			next[k] = math.Min(math.Max(at[k]+d, box[k][0]), box[k][1])
		}
		if x := sign * w.figures(next)[figure]; x < v {
			copy(at, next)
			v, step = x, step*1.3
		} else {
			step *= 0.95
		}
	}
	return v
}

// What loose lines place is looked at between the steps of ranges wherever it could be worse, over the turn and every range at once.
func TestLooseBetweenSteps(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 41))
	n := 1 + *rangesCount/20
	for i := range n {
		w := anyWavy(rng, 1+(i%5+1)/min(n, 5)+i%20/19) // two ranges in one of five, three in one of twenty
		d := w.draft()
		res := d.study(t, d.drawn())
		least, greatest := w.extremes(rand.New(rand.NewPCG(*seed, uint64(i))))
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

// Ranges twist the quartering by waves that are shorter than their steps: both rods are missed by most where each wave is at its top,
// as in an engine without ranges that has this quartering.
func TestLooseBetweenStepsKnown(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 43))
	for range 1 + *rangesCount/80 {
		size := []float64{0.1 + 0.1*rng.Float64(), 0.1 + 0.1*rng.Float64()}
		by, from := []float64{2 + 2*rng.Float64(), 2 + 2*rng.Float64()}, []float64{6 * rng.Float64(), 6 * rng.Float64()}
		draft := func(ranges bool) *draft {
			d := newDraft(0, 360, 5)
			o, q := d.fixed("o", 0, 0), d.fixed("q", 165, 0)
			p, n := d.found("p"), d.near("n", 190, 0)
			d.crank(o, p, d.num(25))
			d.length(q, n, d.num(25))
			quarter := d.num(90.25 * deg)
			for k := range size {
				wave := d.num(1)
				if ranges {
					v := d.travel("range", 0, true, 0, 1, 2, 3, 4)
					wave = d.g.Unary(expr.Sin, d.g.Add(d.g.Mul(d.num(by[k]), v), d.num(from[k])))
				}
				quarter = d.g.Add(quarter, d.g.Mul(d.num(size[k]*deg), wave))
			}
			p2 := d.onPart("p2", d.part("driving", o, p), d.num(0), d.num(25))
			n2 := d.onPart("n2", d.part("leading", q, n), d.g.Mul(d.num(25), d.g.Unary(expr.Cos, quarter)), d.g.Mul(d.num(25), d.g.Unary(expr.Sin, quarter)))
			for _, rod := range [2][2]int{{p, n}, {p2, n2}} {
				play := d.num(0.08)
				e := d.hold(schedule.Equation{Kind: schedule.Length, P: rod[0], Q: rod[1], R: -1, On: -1, V: d.num(165), Loose: true, Play: play})
				d.p.Checks = append(d.p.Checks, solver.Check{Kind: solver.Loose, Stmt: d.next(), Equation: e, Sum: expr.None, AtLeast: expr.None, AtMost: play})
			}
			return d
		}
		d, known := draft(true), draft(false)
		want := known.study(t, known.drawn()).Findings
		for k, f := range d.study(t, d.drawn()).Findings {
			if math.Abs(f.Least-want[k].Least) > 3e-4 || math.Abs(f.Greatest-want[k].Greatest) > 3e-4 || f.OK != want[k].OK || f.Sure != solver.Sampled {
				t.Errorf("rod %d from %v to %v, %v, ok %v; want %v to %v, ok %v", k, f.Least, f.Greatest, f.Sure, f.OK, want[k].Least, want[k].Greatest, want[k].OK)
			}
		}
	}
}
