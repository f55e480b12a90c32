package main

import (
	"flag"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
	"testing"

	"barover/cmd/barover/checker"
	"barover/solver/trial/draws"
)

var parallels = flag.Int("parallels", draws.Of(45), "how many random parallel linkages are followed")

// parallel is a random parallel linkage as a sketch. Started on the parallel way it stays there, by the theorem of the parallelogram: q = p +
// (b − a). Two keep lines ask for just that, of x and of y, at every position.
type parallel struct {
	kind   string
	text   strings.Builder
	rnd    *rand.Rand
	size   float64
	origin complex128
	ways   []string // by which the points move with ranges, x then y
	from   float64  // degrees
}

func (p *parallel) line(format string, a ...any) { fmt.Fprintf(&p.text, format+"\n", a...) }

// say writes a place of the frame as a sum: where the engine stands, and a way within it.
func (p *parallel) say(z complex128, ways ...string) string {
	if len(ways) == 0 {
		ways = []string{"", ""}
	}
	if p.origin != 0 {
		return fmt.Sprintf("%v + %v%s, %v + %v%s", real(p.origin), real(z), ways[0], imag(p.origin), imag(z), ways[1])
	}
	return fmt.Sprintf("%v%s, %v%s", real(z), ways[0], imag(z), ways[1])
}

// rides writes the same of a place that ranges move.
func (p *parallel) rides(z complex128) string { return p.say(z, p.ways...) }

func rounded(v, step float64) float64 { return math.Round(v/step) * step }

// sixPlaces cuts what rounding adds to a decimal figure.
func sixPlaces(v float64) float64 { return math.Round(v*1e6) / 1e6 }

func (p *parallel) place(size float64) complex128 {
	phase := [4]float64{0, 0, (p.rnd.Float64() - 0.5) * math.Pow(10, -1-4*p.rnd.Float64()), 7 * p.rnd.Float64()}[p.rnd.IntN(4)]
	z := cmplx.Rect(size, phase)
	return complex(sixPlaces(real(z)), sixPlaces(imag(z)))
}

// newParallel draws one: how big, where, in springs or not.
func newParallel(seed uint64) *parallel {
	p := &parallel{rnd: rand.New(rand.NewPCG(seed, 71)), ways: []string{"", ""}}
	p.size = math.Pow(10, -0.5+3*p.rnd.Float64())
	if p.rnd.IntN(2) == 0 {
		far := cmplx.Rect(math.Pow(10, 2+3*p.rnd.Float64()), 7*p.rnd.Float64())
		p.origin = complex(rounded(real(far), 0.25), rounded(imag(far), 0.25))
	}
	p.line("units mm")
	if p.rnd.IntN(3) == 0 {
		for i, name := range []string{"shift", "bump"} {
			if p.rnd.IntN(2) == 0 {
				most := sixPlaces(p.size * (0.01 + 0.05*p.rnd.Float64()))
				p.line("travel %s = %v to %v step %v", name, -most, sixPlaces(most*p.rnd.Float64()), most)
				p.ways[i] = " + " + name
			}
		}
	}
	if p.rnd.IntN(4) == 0 {
		p.line("point post at %s\npoint end near %s\nlength post end = %v\nangle post end = 30", p.say(0), p.say(complex(50*p.size, 0)), 100*p.size)
	}
	if p.rnd.IntN(4) == 0 {
		p.beam()
	} else {
		p.axles()
	}
	return p
}

// turn starts as people write it, or near where the pins of a rod lie in a line; not within 0.02° of that, where nothing tells which way it
// stands.
func (p *parallel) turn(flats ...float64) {
	flat := flats[p.rnd.IntN(len(flats))]
	switch p.rnd.IntN(3) {
	case 0:
		p.from = [6]float64{0, -90, -90.01, -45.01, 30, 150}[p.rnd.IntN(6)]
	case 1:
		p.from = math.Round(360 * p.rnd.Float64())
	default:
		p.from = sixPlaces(flat + math.Pow(10, -1.5+3*p.rnd.Float64()) + 180*float64(p.rnd.IntN(2)))
	}
	for i := 0; i < len(flats); i++ {
		if math.Abs(math.Remainder(p.from-flats[i], 180)) < 0.02 {
			p.from, i = sixPlaces(p.from+0.5), -1
		}
	}
	steps := [8]float64{0.5, 1, 2, 5, 7.2, 10, 11.25, 15}
	p.line("turn crank = %v to %v step %v", p.from, sixPlaces(p.from+360+180*float64(p.rnd.IntN(3))), steps[p.rnd.IntN(8)])
}

// axles is two or three, the rods all from the first crank pin or from one axle to the next.
func (p *parallel) axles() {
	more, star := 1+p.rnd.IntN(2), p.rnd.IntN(2) == 0
	p.kind = [2]string{"two axles", "three axles"}[more-1]
	throw := sixPlaces(p.size * (0.1 + 0.3*p.rnd.Float64()))
	at, before := []complex128{0}, []int{0, 0, 1}
	if star {
		before[2] = 0
	}
	var flats []float64
	for k := range more {
		at = append(at, at[k]+p.place(p.size*(0.6+p.rnd.Float64())))
		flats = append(flats, cmplx.Phase(at[k+1]-at[before[k+1]])*180/math.Pi)
	}
	p.turn(flats...)
	start := cmplx.Rect(throw, p.from*math.Pi/180)
	p.line("point o0 at %s\npoint p0\nlength o0 p0 = %v\nangle o0 p0 = crank", p.rides(0), throw)
	for k := 1; k <= more; k++ {
		before := before[k]
		arm := at[k] - at[before]
		q := at[k] + start
		p.line("point o%d at %s\npoint p%d near %s", k, p.rides(at[k]), k, p.say(complex(sixPlaces(real(q)), sixPlaces(imag(q)))))
		p.line("length o%d p%d = %v\nlength p%d p%d = hypot(%v, %v)", k, k, throw, before, k, sixPlaces(real(arm)), sixPlaces(imag(arm)))
		p.keep(fmt.Sprintf("p%d", k), fmt.Sprintf("p%d", before), fmt.Sprintf("o%d", k), fmt.Sprintf("o%d", before))
	}
}

// beam is the parallel motion of a beam engine, its beam turned right round so that the parallelogram c e d f falls flat.
func (p *parallel) beam() {
	p.kind = "parallel motion"
	s := p.size
	short, long := sixPlaces(0.2*s), sixPlaces((0.3+0.2*p.rnd.Float64())*s)
	link, bar := sixPlaces((0.9+0.2*p.rnd.Float64())*s), sixPlaces((0.9+0.2*p.rnd.Float64())*s)
	ground := p.place(sixPlaces(s * (0.6 + 0.4*p.rnd.Float64())))
	p.turn(360 * p.rnd.Float64())
	u := cmplx.Rect(1, p.from*math.Pi/180)
	c, e := u*complex(short, 0), u*complex(long, 0)
	// f by the triangle c f g, d by the parallelogram.
	d := ground - c
	far := cmplx.Abs(d)
	x := (far*far + link*link - bar*bar) / (2 * far)
	f := c + d/complex(far, 0)*complex(x, math.Sqrt(link*link-x*x))
	q := f + e - c
	p.line("point o at %s\npoint g at %s\npoint e\nlength o e = %v\nangle o e = crank", p.rides(0), p.rides(ground), long)
	p.line("part beam from o to e\npoint c on beam at %v, 0", short)
	p.line("point f near %s\nlength c f = %v\nlength g f = %v", p.say(f), link, bar)
	p.line("point d near %s\nlength e d = %v\nlength f d = %v", p.say(q), link, sixPlaces(long-short))
	p.keep("d", "f", "e", "c")
}

func (p *parallel) keep(q, by, b, a string) {
	for _, x := range []string{"x", "y"} {
		p.line("keep %[1]s(%[2]s) - %[1]s(%[3]s) - %[1]s(%[4]s) + %[1]s(%[5]s) above %[6]v below %[6]v", x, q, by, b, a, 0)
	}
}

// tolerance is how far a pin may be off, mm: on a change point what the rods miss by, in places rounded as they are given, moves it by
// the root of that.
func (p *parallel) tolerance() float64 {
	return 1e-6*p.size + 4*math.Sqrt(cmplx.Abs(p.origin)*0x1p-52*p.size)
}

// TestParallelLinkages follows random parallel linkages over their change points: none comes onto the crossed way, and nothing is proved there.
func TestParallelLinkages(t *testing.T) {
	proved, all := map[string]int{}, map[string]int{}
	for k := range *parallels {
		p := newParallel(*sketchSeed<<32 + uint64(k))
		b, err := answerOf(t.TempDir(), p.text.String())
		if err != nil {
			t.Errorf("sketch %d (%s): %v\n%s", k, p.kind, err, p.text.String())
			continue
		}
		a, err := checker.Read(b)
		if err != nil {
			t.Fatal(err)
		}
		whole := true
		for i := range a.Checks {
			c := &a.Checks[i]
			whole = whole && c.Sure == "proved" && len(c.Unproved) == 0
			if c.Least == nil || max(math.Abs(*c.Least), math.Abs(*c.Greatest)) > p.tolerance() {
				t.Errorf("sketch %d (%s, %s): off the parallel way, %s to %s\n%s", k, p.kind, c.Sure, figureOf(c.Least), figureOf(c.Greatest), p.text.String())
				break
			}
		}
		if !a.Assembled {
			t.Errorf("sketch %d (%s): said not to be assembled: %v\n%s", k, p.kind, a.Broken, p.text.String())
		}
		kind := fmt.Sprintf("%s, ranges %d, far %v", p.kind, strings.Count(p.text.String(), "travel "), p.origin != 0)
		if all[kind]++; whole {
			proved[kind]++
		}
	}
	for kind, n := range all {
		t.Logf("%-40s %4d, %4d proved all round", kind, n, proved[kind])
	}
}

func figureOf(v *float64) string {
	if v == nil {
		return "none"
	}
	return fmt.Sprint(*v)
}
