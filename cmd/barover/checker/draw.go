package checker

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
)

// A drawer draws one sketch at random.
type drawer struct {
	*Sketch
	rng         *rand.Rand
	drive       Sum      // heading of what drives
	start       float64  // and what it is at the start, rad
	convex      bool     // outlines are convex: the depth of others over two ranges takes the proof seconds
	posts       [][2]int // profile and point beside which to set a post
	pairs, gaps [][2]int
	lastLong    float64 // of the rod that was added last
	sums        []Sum
}

// Family is a kind of linkage, and the share of its checks that may be left unproved.
type Family struct {
	Name     string
	Unproved float64
	Pending  string // why a known mistake is reported but does not count yet; "" where all counts
	draw     func(d *drawer)
}

// Families are the kinds of linkages that are drawn.
func Families() []Family { return families }

// FamilyOf is the family of sketch number k.
func FamilyOf(k uint64) Family { return families[k%uint64(len(families))] }

// HasFamily reports whether there is a family of a name.
func HasFamily(name string) bool {
	return slices.ContainsFunc(families, func(f Family) bool { return f.Name == name })
}

// mostDraws is how often a sketch that cannot be assembled is drawn again.
const mostDraws = 50

// Draw draws sketch number k of a seed, with what is true of it. The families take turns.
func Draw(seed, k uint64) (*Truth, error) {
	rng := rand.New(rand.NewPCG(seed, k))
	f := FamilyOf(k)
	var err error
	for range mostDraws {
		scale, origin := place(rng)
		d := &drawer{Sketch: newSketch(scale, origin), rng: rng}
		f.draw(d)
		var t *Truth
		if t, err = d.solve(); err == nil && t.whole() {
			d.setPosts(t)
			d.askFor(t)
			return t, nil
		}
	}
	return nil, fmt.Errorf("%s, seed %d, sketch %d: %w", f.Name, seed, k, err)
}

// place is the size and place of an engine: half are ordinary, the others small, large or far away.
func place(rng *rand.Rand) (scale float64, origin complex128) {
	scale = 1
	switch rng.IntN(8) {
	case 0:
		scale = 0.01
	case 1:
		scale = 1000
	case 2, 3:
		r := cmplx.Rect(logUniform(rng, 1e3, 1e5), rng.Float64()*2*math.Pi)
		origin = round(r, 0.01)
	}
	return scale, origin
}

// logUniform draws between lo and hi, every size alike.
func logUniform(rng *rand.Rand, lo, hi float64) float64 {
	return lo * math.Pow(hi/lo, rng.Float64())
}

// between draws evenly.
func (d *drawer) between(lo, hi float64) float64 { return lo + (hi-lo)*d.rng.Float64() }

// odds is true one time in n.
func (d *drawer) odds(n int) bool { return d.rng.IntN(n) == 0 }

// sign is 1 or −1.
func (d *drawer) sign() float64 { return float64(2*d.rng.IntN(2) - 1) }

// mm is a length of an engine of 100 mm at this sketch's scale, with few digits.
func (d *drawer) mm(v float64) float64 { return tidied(math.Round(v*1e6) / 1e6 * d.Scale) }

// zz is a place likewise.
func (d *drawer) zz(z complex128) complex128 { return complex(d.mm(real(z)), d.mm(imag(z))) }

// hair is a length between lo and hi of an engine of 100 mm, every size alike.
func (d *drawer) hair(lo, hi float64) float64 { return logUniform(d.rng, lo, hi) }

// whole rounds degrees to a tenth.
func tenth(v float64) float64 { return math.Round(v*10) / 10 }

// byTurn drives by the turn: all of it, or a part.
func (d *drawer) byTurn() {
	from := tenth(d.between(-180, 180))
	to := from + 360
	if d.odds(4) {
		to = tenth(from + d.between(40, 300))
	}
	step := [4]float64{1, 2, 5, 10}[d.rng.IntN(4)]
	d.drive, d.start = d.turn(from, to, step), from*math.Pi/180
	if d.odds(5) {
		d.drive, d.start = d.drive.times(-1), -d.start
	}
}

// byRange drives by a range of an angle of 60–360°; beside it there may be a turn that moves nothing.
func (d *drawer) byRange() {
	if d.odds(2) {
		d.turn(0, 40, 20)
		d.Idle = true
	}
	from := tenth(d.between(-180, 180))
	to := tenth(from + d.between(60, 360))
	rest := tenth(d.between(from, to))
	step := [3]float64{5, 10, 20}[d.rng.IntN(3)]
	d.drive, d.start = d.swing("rev", from, to, step, rest), rest*math.Pi/180
}

// byEither drives by the turn or by a range.
func (d *drawer) byEither() {
	if d.odds(3) {
		d.byRange()
		return
	}
	d.byTurn()
}

// crank adds a driven arm and its part.
func (d *drawer) crank(name string, from int, long float64) (pin, part int) {
	pin = d.arm(name+"pin", from, long, d.drive, d.start)
	return pin, d.link(name, from, pin)
}

// usualCrank adds a crank of the throw of many, on a shaft.
func (d *drawer) usualCrank(shaft int) (throw float64, pin, part int) {
	throw = d.mm(d.between(10, 40))
	pin, part = d.crank("crank", shaft, throw)
	return throw, pin, part
}

// bump is a range by which springs let an axle go down and up.
func (d *drawer) bump() Sum {
	d.convex = true
	return d.rise("bump", d.mm(-d.between(0.5, 3)), d.mm(d.between(0.5, 3)), d.mm(0.5))
}

// meet is where two circles meet, to the left or the right of the way from a to b; NaN where they do not.
func meet(a complex128, ra float64, b complex128, rb float64, left bool) complex128 {
	w := b - a
	l := cmplx.Abs(w)
	x := (l*l + ra*ra - rb*rb) / (2 * l)
	y := math.Sqrt(ra*ra - x*x)
	if !left {
		y = -y
	}
	return a + w/complex(l, 0)*complex(x, y)
}

// joint adds a point that two rods hold, to the left or the right of the way from one to the other.
func (d *drawer) joint(name string, i int, ri float64, j int, rj float64, left bool) int {
	z := meet(d.startOf(i), ri, d.startOf(j), rj, left)
	other := meet(d.startOf(i), ri, d.startOf(j), rj, !left)
	k := d.find(name, z, min(d.mm(0.5), cmplx.Abs(other-z)/8)) // nearer to where it stands than to the other way of assembly
	d.length(i, k, constant(ri))
	d.length(j, k, constant(rj))
	return k
}
