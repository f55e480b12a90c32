package machine

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"barover/solver/expr"
	"barover/solver/trial/draws"
)

// pile is a crank of 20 with discs of 10 at its pin, and fixed plates that the disc passes over or does not.
type pile struct {
	*draft
	crank int
}

func newPile() *pile {
	d := newDraft(0, 360, 5)
	o, pin := d.fixed("shaft", 0, 0), d.found("pin")
	d.crank(o, pin, d.num(20))
	return &pile{d, d.part("crank", o, pin)}
}

func (p *pile) web(from, to float64) int {
	return p.profile(p.crank, fmt.Sprintf("web%g", from), p.num(from), p.num(to), p.disc(p.num(20), p.num(0), p.num(10)))
}

// plate is a fixed disc of 10 about (x, 0).
func (p *pile) plate(x, from, to float64) int {
	return p.profile(0, fmt.Sprintf("plate%g", from), p.num(from), p.num(to), p.disc(p.num(x), p.num(0), p.num(10)))
}

// rod is the profile of a part of its own, which lies over the pin as the web does.
func (p *pile) rod(from, to float64) int {
	return p.profile(p.part(fmt.Sprintf("rod%g", from), 0, 1), "bar", p.num(from), p.num(to), p.disc(p.num(20), p.num(0), p.num(10)))
}

func (p *pile) neighbours(t *testing.T, o Options) (list []string, found *Abreast) {
	t.Helper()
	m, err := New(p.p, p.drawn())
	if err != nil {
		t.Fatal(err)
	}
	if found, err = m.Abreast(context.Background(), o, func(a, b int) bool { return false }); err != nil {
		t.Fatal(err)
	}
	for _, x := range found.Pairs {
		list = append(list, fmt.Sprintf("%s %s %.6g %.6g %v", p.p.Profiles[x.A].Name, p.p.Profiles[x.B].Name, x.Rest, x.Gap, x.Sure))
	}
	return list, found
}

func TestNeighbours(t *testing.T) {
	tests := []struct {
		name string
		lay  func(*pile)
		want []string
	}{
		{"one behind the other", func(p *pile) { p.web(0, 5); p.plate(25, 7, 12) }, []string{"crank.web0 frame.plate7 2 2 proved"}},
		{"never pass", func(p *pile) { p.web(0, 5); p.plate(31, 7, 12) }, nil},
		{"bands that overlap and do not pass", func(p *pile) { p.web(0, 5); p.plate(31, 4, 12) }, nil},
		{"into each other", func(p *pile) { p.web(0, 5); p.plate(25, 4, 12) }, []string{"crank.web0 frame.plate4 -1 -1 proved"}},
		{"one within the other", func(p *pile) { p.web(1, 5); p.plate(25, 0, 12) }, []string{"frame.plate0 crank.web1 -5 -5 proved"}},
		{"sideplay", func(p *pile) {
			p.web(0, 5)
			p.plate(25, 7, 12)
			p.p.Sideplay = []expr.ID{expr.None, p.num(0.5)}
		}, []string{"crank.web0 frame.plate7 2 1.5 proved"}},
		{"what lies between hides", func(p *pile) { p.plate(25, 0, 1); p.web(2, 3); p.plate(25, 4, 5) },
			[]string{"frame.plate0 crank.web2 1 1 proved", "crank.web2 frame.plate4 1 1 proved"}},
		{"three parts", func(p *pile) { p.web(0, 1); p.rod(2, 3); p.plate(25, 4, 5) },
			[]string{"crank.web0 rod2.bar 1 1 proved", "rod2.bar frame.plate4 1 1 proved"}},
		{"a step of the same part hides", func(p *pile) { p.web(0, 1); p.web(1, 2); p.plate(25, 4, 5) },
			[]string{"crank.web1 frame.plate4 2 2 proved"}},
		{"what lies between and passes neither does not hide", func(p *pile) { p.rod(0, 1); p.plate(31, 2, 3); p.web(4, 5) },
			[]string{"rod0.bar crank.web4 3 3 proved"}},
		{"what lies between and passes one does not hide", func(p *pile) {
			p.plate(25, 0, 1)
			p.profile(p.part("rod2", 0, 1), "bar", p.num(2), p.num(3), p.disc(p.num(0), p.num(0), p.num(4)), p.disc(p.num(20), p.num(0), p.num(10)))
			p.profile(p.crank, "hub", p.num(4), p.num(5), p.disc(p.num(0), p.num(0), p.num(4)))
			p.plate(-28, 6, 7)
			p.web(8, 9)
		}, []string{"frame.plate0 rod2.bar 1 1 proved", "rod2.bar crank.hub 1 1 proved", "rod2.bar frame.plate6 3 3 proved", "frame.plate6 crank.web8 1 1 proved"}},
		{"below the datum", func(p *pile) { p.web(-5, 0); p.plate(25, -12, -7) }, []string{"crank.web-5 frame.plate-12 2 2 proved"}},
		{"bands without thickness in one place", func(p *pile) { p.web(3, 3); p.rod(3, 3); p.plate(25, 3, 3) },
			[]string{"crank.web3 frame.plate3 0 0 proved", "crank.web3 rod3.bar 0 0 proved", "frame.plate3 rod3.bar 0 0 proved"}},
	}
	for _, tt := range tests {
		p := newPile()
		tt.lay(p)
		got, found := p.neighbours(t, Options{})
		if diff := cmp.Diff(tt.want, got); diff != "" || found.Seen != 0 || found.Passed != 0 {
			t.Errorf("%s (%d seen, %d not looked at; -want +got):\n%s", tt.name, found.Seen, found.Passed, diff)
		}
	}
}

// Where nothing is proved, what keeps apart was only seen to.
func TestNeighboursSeen(t *testing.T) {
	p := newPile()
	p.web(0, 5)
	p.plate(25, 7, 12)
	p.plate(31, 7, 12)
	got, found := p.neighbours(t, Options{Sampled: true})
	if diff := cmp.Diff([]string{"crank.web0 frame.plate7 2 2 sampled"}, got); diff != "" || found.Seen != 1 {
		t.Errorf("%d seen apart, want 1 (-want +got):\n%s", found.Seen, diff)
	}
}

// Many profiles cost no more than the nearest pairs of them, and what was not looked at is counted.
func TestNeighboursOfMany(t *testing.T) {
	p := newPile()
	const n = mostBeside + 40
	for i := range n {
		if i%2 == 0 {
			p.web(float64(2*i), float64(2*i+1))
		} else {
			p.plate(25, float64(2*i), float64(2*i+1))
		}
	}
	got, found := p.neighbours(t, Options{})
	if len(got) != n-1 {
		t.Errorf("%d neighbours, want each with the next: %d", len(got), n-1)
	}
	if want := 40 * 39 / 2; found.Passed < want {
		t.Errorf("%d pairs not looked at, want no fewer than %d", found.Passed, want)
	}
}

// The answer is that of a gap line for each pair, less those that something lies between; the order of the profiles does
// not matter.
func TestNeighboursAgainstGaps(t *testing.T) {
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewPCG(*seed, 5))
	for range draws.Of(20) {
		type laid struct {
			kind     int
			x        float64
			from, to float64
		}
		var lays []laid
		for k := range 7 {
			from := float64(rng.IntN(12)) + float64(k)/16
			lays = append(lays, laid{rng.IntN(3), 20 + 20*rng.Float64(), from, from + 0.5 + 2*rng.Float64()})
		}
		lay := func() *pile {
			p := newPile()
			for _, l := range lays {
				switch l.kind {
				case 0:
					p.web(l.from, l.to)
				case 1:
					p.plate(l.x, l.from, l.to)
				default:
					p.rod(l.from, l.to)
				}
			}
			return p
		}
		p := lay()
		got, found := p.neighbours(t, Options{})
		for _, x := range found.Pairs {
			p.gap(x.A, x.B, expr.None, expr.None)
		}
		for i, f := range p.study(t, p.drawn()).Findings {
			if x := found.Pairs[i]; f.Apart || f.Least != x.Gap {
				t.Errorf("%s: as a gap line %+v", got[i], f)
			}
		}
		rng.Shuffle(len(lays), func(i, k int) { lays[i], lays[k] = lays[k], lays[i] })
		again, _ := lay().neighbours(t, Options{})
		slices.Sort(got)
		slices.Sort(again)
		if diff := cmp.Diff(got, again); diff != "" {
			t.Errorf("in another order (-first +then):\n%s", diff)
		}
	}
}
