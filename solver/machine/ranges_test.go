package machine

import (
	"cmp"
	"flag"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/trial/draws"
)

// Arms and bell cranks that running ranges turn, against a truth of a few lines that shares nothing with the solver: the distance of
// a disc from a straight bar in closed form, looked at on a grid over the turn and the ranges, and from the best places
// downhill.

var (
	rangesCount = flag.Int("ranges", draws.Of(80), "how many arms and bell cranks with one range are tried")
)

// lever is an arm on a shaft, turned by the turn and by the first range. The second range lifts the shaft or turns the arm too, the
// third moves the pin. With a rod it is a bell crank: the rod goes from its end to a slider on a level line.
type lever struct {
	arm, half  float64    // length, half width of the bar that is looked at, mm
	heading    float64    // rad, where all stand at zero
	by         []float64  // how much of it the turn and each range make
	lift       float64    // how far the second range lifts the shaft
	aside      float64    // how far the third moves the pin along x
	rod, level float64    // length of the rod, height of the slider's line; no rod for zero
	pin        complex128 // centre of the pin's circle, or of the pin itself
	radius     float64    // of the pin
	orbit      float64    // radius at which the turn carries the pin round
	asked      float64
	ranges     [][2]float64
}

func anyLever(rng *rand.Rand, ranges int) *lever {
	within := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	l := &lever{arm: within(40, 150), half: within(1, 6), heading: within(-math.Pi, math.Pi), radius: within(0.3, 5), asked: within(0.1, 2)}
	l.by = []float64{0}
	if rng.IntN(3) == 0 {
		l.by[0] = within(-1, 1)
	}
	for k := range ranges {
		widest := 360.0
		if k > 0 {
			widest = 60
		}
		from := within(-200, 100) * deg
		l.by = append(l.by, within(0.4, 1))
		l.ranges = append(l.ranges, [2]float64{from, from + within(60, widest)*deg})
	}
	if ranges > 1 && rng.IntN(2) == 0 {
		l.by[2], l.lift = 0, within(-10, 10)
	} else if ranges > 1 {
		l.by[0] = 0
	}
	if ranges > 2 {
		l.by[3], l.aside = 0, within(-10, 10)
	}
	l.pin = cmplx.Rect(within(0.1, 1.15)*l.arm, within(-math.Pi, math.Pi))
	if rng.IntN(2) == 0 {
		l.level = within(-0.5, 0.5) * l.arm
		l.rod = within(1.2, 2.5) * (l.arm + math.Abs(l.level) + 40)
		l.pin = complex(within(-1, 2.5), within(-1, 1)) * complex(l.arm, 0)
	}
	if rng.IntN(2) == 0 {
		l.orbit = within(1, 30)
	}
	return l
}

// bar is where the bar begins and ends at a position: the turn, and then the ranges.
func (l *lever) bar(at []float64) (from, to complex128) {
	a := l.heading
	for k, v := range at {
		a += l.by[k] * v
	}
	if len(at) > 2 {
		from = complex(0, l.lift*at[2])
	}
	to = from + cmplx.Rect(l.arm, a)
	if l.rod == 0 {
		return from, to
	}
	h := l.level - imag(to)
	return to, to + complex(math.Sqrt(l.rod*l.rod-h*h), h)
}

// distance is how far the pin keeps from the bar, minus how deep it runs into it.
func (l *lever) distance(at []float64) float64 {
	from, to := l.bar(at)
	pin := l.pin + cmplx.Rect(l.orbit, at[0])
	if len(at) > 3 {
		pin += complex(l.aside*at[3], 0)
	}
	p := (pin - from) / (to - from) * complex(cmplx.Abs(to-from), 0)
	u := math.Max(-real(p), real(p)-cmplx.Abs(to-from))
	v := math.Abs(imag(p)) - l.half
	out := math.Hypot(math.Max(u, 0), math.Max(v, 0))
	return out + math.Min(0, math.Max(u, v)) - l.radius
}

// least looks on a grid with n places a side, and goes downhill from the best place for each turn and for each value of the last
// range.
func (l *lever) least(n int) float64 {
	box := append([][2]float64{{0, 2 * math.Pi}}, l.ranges...)
	type place struct {
		at []float64
		v  float64
	}
	first, last := make([]place, n), make([]place, n)
	at, index := make([]float64, len(box)), make([]int, len(box))
	var grid func(k int)
	grid = func(k int) {
		if k == len(box) {
			v := l.distance(at)
			for _, p := range [2]*place{&first[index[0]], &last[index[k-1]]} {
				if p.at == nil || v < p.v {
					*p = place{slices.Clone(at), v}
				}
			}
			return
		}
		for i := range n {
			index[k], at[k] = i, box[k][0]+(box[k][1]-box[k][0])*float64(i)/float64(n-1)
			grid(k + 1)
		}
	}
	grid(0)
	best := append(first, last...)
	slices.SortFunc(best, func(a, b place) int { return cmp.Compare(a.v, b.v) })
	least := math.Inf(1)
	for _, p := range best[:min(len(best), 30)] {
		least = math.Min(least, l.downhill(p.at, p.v, box, n))
	}
	return least
}

// downhill tries steps in every direction, ever shorter.
func (l *lever) downhill(at []float64, v float64, box [][2]float64, n int) float64 {
	rng := rand.New(rand.NewPCG(1, 1))
	next, step := make([]float64, len(at)), 1.0
	for step > 1e-7 {
		better := false
		for try := 0; try < 30*len(at) && !better; try++ {
			for k := range next {
				d := rng.NormFloat64() * step * (box[k][1] - box[k][0]) / float64(n-1)
				next[k] = math.Min(math.Max(at[k]+d, box[k][0]), box[k][1])
			}
			if w := l.distance(next); w < v {
				copy(at, next)
				v, better = w, true
			}
		}
		if !better {
			step *= 0.6
		}
	}
	return v
}

// draft puts the lever into a problem with one check.
func (l *lever) draft() *draft {
	d := newDraft(0, 360, 5)
	heading := d.g.Add(d.num(l.heading), d.g.Mul(d.num(l.by[0]), d.g.Turn()))
	lift, aside := d.num(0), d.num(0)
	for k, r := range l.ranges {
		var steps []float64
		for i := range 10 {
			steps = append(steps, r[0]+(r[1]-r[0])*float64(i)/9)
		}
		steps[9] = r[1]
		v := d.travel("range", r[0], true, steps...)
		heading = d.g.Add(heading, d.g.Mul(d.num(l.by[1+k]), v))
		switch k {
		case 1:
			lift = d.g.Mul(d.num(l.lift), v)
		case 2:
			aside = d.g.Mul(d.num(l.aside), v)
		}
	}
	o := d.at("shaft", d.num(0), lift)
	end := d.found("end")
	d.arm(o, end, d.num(l.arm), heading)
	z := d.num(0)
	part, long := d.part("arm", o, end), l.arm
	if l.rod > 0 {
		slider := d.near("slider", 2*l.rod, l.level)
		d.length(end, slider, d.num(l.rod))
		d.slide(slider, d.line("way", d.fixed("foot", 0, l.level), 0))
		part, long = d.part("rod", end, slider), l.rod
	}
	bar := d.profile(part, "bar", z, d.num(3), d.strip(d.num(long), d.num(2*l.half), d.num(2*l.half), false))
	c, s := d.g.Unary(expr.Cos, d.g.Turn()), d.g.Unary(expr.Sin, d.g.Turn())
	centre := d.at("centre", d.g.Add(d.g.Add(d.num(real(l.pin)), aside), d.g.Mul(d.num(l.orbit), c)), d.g.Add(d.num(imag(l.pin)), d.g.Mul(d.num(l.orbit), s)))
	carrier := 0
	pin := d.disc(d.num(real(l.pin)), d.num(imag(l.pin)), d.num(2*l.radius))
	if l.orbit > 0 || l.aside != 0 {
		along := d.line("level", d.fixed("datum", 0, 0), 0)
		carrier = d.partAlong("carrier", centre, along)
		pin = d.disc(z, z, d.num(2*l.radius))
	}
	d.clear(bar, d.profile(carrier, "pin", z, d.num(3), pin), d.num(l.asked))
	return d
}

// compare studies a lever and tells what is wrong with the answer.
func (l *lever) compare(t *testing.T, grid int) {
	t.Helper()
	d := l.draft()
	f := d.study(t, d.drawn()).Findings[0]
	want := l.least(grid)
	switch {
	case f.Sure != solver.Proved || len(f.Unproved) > 0:
		t.Errorf("not proved: %+v\n%+v", f, l)
	case !(math.Abs(f.Least-want) <= 1e-3):
		t.Errorf("least %v, want %v\n%+v", f.Least, want, l)
	case f.OK != (want >= l.asked) && math.Abs(want-l.asked) > 1e-6:
		t.Errorf("ok %v, least %v, asked %v", f.OK, want, l.asked)
	}
	at := append([]float64{f.At.Turn}, f.At.Travel...)
	if v := l.distance(at); !(math.Abs(v-f.Least) <= 1e-6) {
		t.Errorf("least %v is said to be at %v, where it is %v", f.Least, at, v)
	}
}

func TestRangesTurnArms(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 9))
	for i := range *rangesCount {
		if anyLever(rng, 1).compare(t, 200); t.Failed() {
			t.Fatalf("of the seed %d the %d-th", *seed, i)
		}
	}
}

func TestTwoRangesTurnArms(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 10))
	for i := range 1 + *rangesCount/10 {
		if anyLever(rng, 2).compare(t, 60); t.Failed() {
			t.Fatalf("of the seed %d the %d-th", *seed, i)
		}
	}
}

func TestThreeRangesTurnArms(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 11))
	for i := range 2 + *rangesCount/40 {
		if anyLever(rng, 3).compare(t, 24); t.Failed() {
			t.Fatalf("of the seed %d the %d-th", *seed, i)
		}
	}
}

// What is not proved is looked at between the steps of ranges wherever it could be worse by the slopes seen, not only beside the
// worst step.
func TestSeenBetweenSteps(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 12))
	for i := range 1 + *rangesCount/4 {
		l := anyLever(rng, 1)
		d := l.draft()
		res, err := study(t.Context(), d.p, d.drawn(), Options{Sampled: true})
		if err != nil {
			t.Fatal(err)
		}
		f, want := res.Findings[0], l.least(200)
		if f.Sure != solver.Sampled || !(math.Abs(f.Least-want) <= 1e-3) || f.OK != (want >= l.asked) {
			t.Errorf("%d: ok %v, least %v, want %v asked %v", i, f.OK, f.Least, want, l.asked)
		}
	}
}
