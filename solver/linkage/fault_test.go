package linkage

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// filled puts the figures into a message, as a printer would: mm and degrees.
func (f *Fault) filled(s string) string {
	for i, v := range f.Lengths {
		s = strings.ReplaceAll(s, fmt.Sprintf("{%d}", i), fmt.Sprintf("%.4g", round(v)))
	}
	for i, v := range f.Angles {
		s = strings.ReplaceAll(s, fmt.Sprintf("{a%d}", i), fmt.Sprintf("%.4g°", round(v/deg)))
	}
	return s
}

func round(v float64) float64 { return math.Round(v*1e6)/1e6 + 0 }

var kindNames = [...]string{"bad value", "too few", "too many", "disagree", "unreached", "two ways"}

// What is wrong with a sketch, in its own words.
func TestFaults(t *testing.T) {
	for _, c := range []struct {
		name string
		make func(s *draft)
		want []string // "kind at statement, also others: message | help"
	}{
		{"nothing drives the crank", func(s *draft) {
			o := s.fixed("shaft", 0, 0)
			c, x := s.near("crankpin", 15, 15), s.near("crosspin", 150, 0)
			s.length(o, c, s.num(22))
			s.length(c, x, s.num(133.35))
			s.slide(x, s.line("bore", o, s.num(0)))
		}, []string{
			"too few at 2, also [3]: crankpin can still swing round shaft | angle shaft crankpin = 45°",
		}},
		{"a point that nothing holds", func(s *draft) {
			o := s.fixed("shaft", 0, 0)
			c := s.found("crankpin")
			s.crank(o, c, 22)
			s.near("stray", 10, 20)
		}, []string{
			"too few at 5, also []: stray can still move in any direction | point stray at 10, 20",
		}},
		{"a point that nothing holds, nor says where it is", func(s *draft) {
			o := s.fixed("shaft", 0, 0)
			s.crank(o, s.found("crankpin"), 22)
			s.found("stray")
		}, []string{
			"too few at 5, also []: stray can still move in any direction | point stray at U, V",
		}},
		{"a pawl without a length", func(s *draft) {
			s.rod("pawl", s.fixed("heel", 30, 0), s.near("nib", 30, 20))
		}, []string{
			"too few at 2, also []: nib can still move in any direction | length heel nib = 20\nangle heel nib = 90°",
		}},
		{"a pawl without a length that a link holds", func(s *draft) {
			h, n := s.fixed("heel", 30, 0), s.near("nib", 30, 40)
			s.rod("pawl", h, n)
			s.length(s.fixed("anchor", 0, 40), n, s.num(30))
		}, []string{
			"too few at 2, also []: nib can still swing round anchor | length heel nib = 40",
		}},
		{"a pawl whose heel is loose too", func(s *draft) {
			s.rod("pawl", s.near("heel", 30, 0), s.near("nib", 30, 20))
		}, []string{
			"too few at 1, also []: heel can still move in any direction | point heel at 30, 0",
			"too few at 2, also []: nib can still move in any direction | length heel nib = 20\nangle heel nib = 90°",
		}},
		{"a rod end that nothing guides", func(s *draft) {
			o := s.fixed("shaft", 0, 0)
			c, x := s.found("crankpin"), s.near("crosspin", 150, 0)
			s.crank(o, c, 22)
			s.length(c, x, s.num(133.35))
		}, []string{
			"too few at 3, also []: crosspin can still swing round crankpin | angle crankpin crosspin = -6.6°",
		}},
		{"a slide that nothing drives", func(s *draft) {
			o := s.fixed("shaft", 0, 0)
			x := s.near("crosspin", 150, 0)
			s.slide(x, s.line("bore", o, s.num(0)))
		}, []string{
			"too few at 2, also []: crosspin can still slide along bore | length shaft crosspin = 150",
		}},
		{"a rod of which the length alone is missing", func(s *draft) {
			o := s.fixed("shaft", 0, 0)
			c, x := s.found("crankpin"), s.near("crosspin", 150, 0)
			s.crank(o, c, 22)
			s.slide(x, s.line("bore", o, s.num(0)))
		}, []string{
			"too few at 3, also []: crosspin can still slide along bore | length crankpin crosspin = 135.3",
		}},
		{"a rod that is a part, near another line", func(s *draft) {
			o := s.fixed("shaft", 0, 0)
			c, x := s.found("crankpin"), s.near("crosspin", 150, 0)
			s.crank(o, c, 22)
			s.rod("conrod", c, x)
			s.slide(x, s.line("bore", o, s.num(0)))
			s.line("across", s.fixed("high", 150, 90), s.num(math.Pi/2))
		}, []string{
			"too few at 3, also []: crosspin can still slide along bore | length crankpin crosspin = 135.3",
		}},
		{"coupled wheels, one without its angle", func(s *draft) {
			o, q := s.fixed("rear", 0, 0), s.fixed("fore", 100, 0)
			a, b := s.found("rear_pin"), s.found("fore_pin")
			s.crank(o, a, 22)
			s.length(q, b, s.num(22))
			s.rod("rear_wheel", o, a)
			s.rod("fore_wheel", q, b)
			s.rod("coupling", a, b)
		}, []string{
			"too few at 4, also []: fore_pin can still swing round fore | angle fore fore_pin = V",
		}},
		{"a shaper's crank that nothing turns, its block in the lever's slot", func(s *draft) {
			o, q := s.fixed("gear", 0, 0), s.fixed("fulcrum", 0, -90)
			c, x := s.found("pin"), s.near("top", 20, 85)
			s.length(o, c, s.num(30))
			s.length(q, x, s.num(180))
			s.rod("bull", o, c)
			slot, middle := s.lineTo("", q, x), s.lineTo("middle", q, x)
			s.slide(c, slot)
			s.along("block", c, middle)
		}, []string{
			"too few at 3, also [4]: pin can still swing round gear | angle gear pin = V",
		}},
		{"coupled wheels that nothing turns, on loose rods", func(s *draft) {
			o, q := s.fixed("rear", 0, 0), s.fixed("fore", 100, 0)
			a, b := s.found("rear_pin"), s.found("fore_pin")
			s.length(o, a, s.num(22))
			s.length(q, b, s.num(22))
			c := s.onPart("rear_far", s.rod("rear_wheel", o, a), s.num(0), s.num(22))
			d := s.onPart("fore_far", s.rod("fore_wheel", q, b), s.num(0), s.num(22))
			s.loose(a, b, 100, 0.1)
			s.loose(c, d, 100, 0.1)
		}, []string{
			"too few at 3, also [4]: rear_pin can still swing round rear | angle rear rear_pin = V",
		}},
		{"a crank that nothing drives, on a dead centre", func(s *draft) {
			o := s.fixed("shaft", 0, 0)
			c, x := s.near("crankpin", 22, 0), s.near("crosspin", 100, 0)
			s.length(o, c, s.num(22))
			s.length(c, x, s.num(78))
			s.slide(x, s.line("bore", o, s.num(0)))
			s.length(o, x, s.num(100))
			s.rod("crank", o, c)
		}, []string{
			"too few at 2, also []: nothing drives crankpin: no line has the turn in its sum | angle shaft crankpin = V",
		}},
		{"the other end of a beam", func(s *draft) {
			o := s.fixed("trunnion", 0, 0)
			r := s.found("right")
			s.crank(o, r, 40)
			s.rod("beam", o, r)
			s.length(o, s.near("left", -40, 0), s.num(40))
		}, []string{
			"too few at 6, also []: left can still swing round trunnion | angle trunnion left = 180°; or, where it is on beam, point left on beam at U, V alone",
		}},
		{"a block where another point stands", func(s *draft) {
			t := s.fixed("trunnion", 50, 0)
			b := s.near("block", 50, 0)
			s.slide(b, s.line("die", t, s.num(0)))
		}, []string{
			"too few at 2, also []: block can still slide along die | point block at 50, 0",
		}},
		{"the same length twice", func(s *draft) {
			o := s.fixed("shaft", 0, 0)
			c, x := s.found("crankpin"), s.near("crosspin", 150, 0)
			s.crank(o, c, 22)
			s.length(c, x, s.num(133.35))
			s.slide(x, s.line("bore", o, s.num(0)))
			s.length(x, c, s.num(133.35))
		}, []string{
			"too many at 9, also [6]: length crosspin crankpin is redundant: it follows from length crankpin crosspin | loose length crosspin crankpin = 133.3 play 0.1333",
		}},
		{"the same length twice, not alike", func(s *draft) {
			o := s.fixed("shaft", 0, 0)
			c, x := s.found("crankpin"), s.near("crosspin", 150, 0)
			s.crank(o, c, 22)
			s.length(c, x, s.num(133.35))
			s.slide(x, s.line("bore", o, s.num(0)))
			s.length(x, c, s.num(133))
		}, []string{
			"disagree at 9, also [6]: length crosspin crankpin disagrees with length crankpin crosspin by 0.35 with the turn at 45° | ",
		}},
		{"two radii of one crank", func(s *draft) {
			o := s.fixed("shaft", 0, 0)
			c := s.found("crankpin")
			s.crank(o, c, 22)
			s.length(o, c, s.num(22.5))
		}, []string{
			"disagree at 5, also [3]: length shaft crankpin on {s5} disagrees with length shaft crankpin on {s3} by 0.5 with the turn at 45° | ",
		}},
		{"the heading of a point on a crank that is driven", func(s *draft) {
			o := s.fixed("shaft", 0, 0)
			c := s.found("crankpin")
			s.crank(o, c, 22)
			k := s.onPart("eccentric", s.rod("crank", o, c), s.num(0), s.num(11))
			s.heading(o, k, s.g.Add(s.turn(), s.num(91*deg)))
		}, []string{
			"disagree at 7, also []: angle shaft eccentric disagrees with the places of its points by 1° with the turn at 45° | ",
		}},
		{"a length between fixed points", func(s *draft) {
			o, q := s.fixed("shaft", 0, 0), s.fixed("pivot", 100, 0)
			c := s.found("crankpin")
			s.crank(o, c, 22)
			s.length(o, q, s.num(100.25))
		}, []string{
			"disagree at 6, also []: length shaft pivot disagrees with the places of its points by 0.25 with the turn at 45° | ",
		}},
		// By the count of Grübler and Kutzbach it is locked: 5 links, 6 pins, mobility 0. It moves all the same.
		{"a third equal crank", func(s *draft) {
			a, d, g := s.fixed("a", 0, 0), s.fixed("d", 100, 0), s.fixed("g", 50, 0)
			b, c := s.found("b"), s.near("c", 120, 35)
			s.crank(a, b, 40)
			s.length(b, c, s.num(100))
			s.length(d, c, s.num(40))
			e := s.onPart("e", s.rod("coupler", b, c), s.num(50), s.num(0))
			s.length(g, e, s.num(40))
		}, []string{
			"too many at 12, also [6 9]: length g e is redundant: it follows from length a b and length d c | loose length g e = 40 play 0.1",
		}},
		{"a third crank a little too long", func(s *draft) {
			a, d, g := s.fixed("a", 0, 0), s.fixed("d", 100, 0), s.fixed("g", 50, 0)
			b, c := s.found("b"), s.near("c", 120, 35)
			s.crank(a, b, 40)
			s.length(b, c, s.num(100))
			s.length(d, c, s.num(40))
			e := s.onPart("e", s.rod("coupler", b, c), s.num(50), s.num(0))
			s.length(g, e, s.num(40.1))
		}, []string{
			"disagree at 12, also [6 9]: length g e disagrees with length a b and length d c by 0.1 with the turn at 45° | ",
		}},
		{"a length twice and another forgotten", func(s *draft) {
			o, q := s.fixed("shaft", 0, 0), s.fixed("pivot", 100, 0)
			c, x := s.found("crankpin"), s.near("pin", 110, 60)
			s.crank(o, c, 40)
			s.length(c, x, s.num(120))
			s.length(x, c, s.num(120))
			_ = q
		}, []string{
			"too many at 8, also [7]: length pin crankpin is redundant: it follows from length crankpin pin | ",
			"too few at 4, also []: pin can still swing round crankpin | angle crankpin pin = V",
		}},
		{"a slide forgotten", func(s *draft) {
			o := s.fixed("shaft", 0, 0)
			c, x := s.found("crankpin"), s.near("crosspin", 150, 0)
			s.crank(o, c, 22)
			s.length(c, x, s.num(133.35))
			s.line("bore", o, s.num(0))
		}, []string{
			"too few at 3, also []: crosspin can still swing round crankpin | slide crosspin on bore",
		}},
		{"two ways", func(s *draft) {
			a, d := s.fixed("a", 0, 0), s.fixed("d", 100, 0)
			b, c := s.found("b"), s.found("c")
			s.crank(a, b, 40)
			s.length(b, c, s.num(120))
			s.length(d, c, s.num(80))
		}, []string{
			"two ways at 4, also []: c can stand at 141.4, 68.48 or at 83.47, -78.27: nothing says which | point c near 141.4, 68.48",
		}},
		{"a hint in the middle", func(s *draft) {
			a, d := s.fixed("a", 0, 0), s.fixed("d", 100, 0)
			b, c := s.found("b"), s.near("c", 112, -5)
			s.crank(a, b, 40)
			s.length(b, c, s.num(120))
			s.length(d, c, s.num(80))
		}, []string{
			"two ways at 4, also []: c can stand at 141.4, 68.48 or at 83.47, -78.27: near 112, -5 is nearly as far from one as from the other | point c near 141.4, 68.48",
		}},
		{"out of reach", func(s *draft) {
			a, d := s.fixed("a", 0, 0), s.fixed("d", 100, 0)
			b, c := s.found("b"), s.near("c", 90, 10)
			s.crank(a, b, 10)
			s.length(b, c, s.num(30))
			s.length(d, c, s.num(20))
		}, []string{
			"unreached at 7, also [8]: length b c cannot be met at the start: it misses by 43.2 | ",
		}},
		{"starts flat", func(s *draft) {
			a, d := s.fixed("a", 0, 0), s.fixed("d", 100, 0)
			b, c := s.found("b"), s.near("c", 140, 10)
			s.length(a, b, s.num(40))
			s.heading(a, b, s.g.Sub(s.turn(), s.num(45*deg)))
			s.length(b, c, s.num(100))
			s.length(d, c, s.num(40))
		}, []string{
			"two ways at 4, also [8]: c is on a dead centre at the start, with the turn at 45°: it can go either way from there | start the turn elsewhere, and write near to say which way it is there",
		}},
		{"no lengths", func(s *draft) {
			a := s.fixed("a", 0, 0)
			b, c := s.found("b"), s.near("c", 140, 10)
			s.crank(a, b, 0)
			s.length(b, c, s.num(-5))
			s.length(b, c, s.num(math.NaN()))
		}, []string{
			"bad value at 4, also []: length a b comes to 0: it must be more than 0 | keep it above 0 at every position, as in max(V, 0.1)",
			"bad value at 6, also []: length b c comes to -5: it must be more than 0 | keep it above 0 at every position, as in max(V, 0.1)",
			"bad value at 7, also []: length b c has no value | ",
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newDraft()
			c.make(s)
			_, err := New(s.Model, s.values(), 45*deg, 45*deg+2*math.Pi, nil)
			faults, _ := err.(Faults)
			var got []string
			for _, f := range faults {
				if f.Advice() == "" && f.Lack == nil {
					t.Errorf("nothing says what to write instead: %s", f.Msg)
				}
				got = append(got, fmt.Sprintf("%s at %d, also %v: %s | %s", kindNames[f.Kind], f.Stmt, f.Also, f.filled(f.Msg), f.filled(f.Help)))
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("faults (-want +got):\n%s", diff)
			}
		})
	}
}

// TestMissIsLookedForWithinTheTurn: a length that agrees at the start of a slider-crank is missed most at the end of a part of a turn, and
// at half a turn of a whole one, by the closed form of the crosshead's place.
func TestMissIsLookedForWithinTheTurn(t *testing.T) {
	const r, l = 22, 133.35
	for _, c := range []struct{ to, worst float64 }{{60, 60}, {360, 180}, {720, 180}} {
		s := sliderCrank()
		s.length(0, 2, s.num(r+l))
		_, err := New(s.Model, s.values(), 0, c.to*deg, nil)
		faults, _ := err.(Faults)
		if len(faults) != 1 {
			t.Fatalf("%d faults", len(faults))
		}
		at := c.worst * deg
		off := r + l - (r*math.Cos(at) + math.Sqrt(l*l-r*r*math.Sin(at)*math.Sin(at)))
		f := faults[0]
		if f.Kind != Disagree || math.Abs(f.Angles[0]-at) > 1e-9 || math.Abs(f.Lengths[0]-off) > 1e-6 {
			t.Errorf("to %v°: %s", c.to, f.filled(f.Msg))
		}
	}
}
