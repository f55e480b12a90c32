package linkage

import (
	"fmt"
	"math"
	"testing"
	"time"

	"barover/solver/plane"
)

// big builds sketches of a few thousand points of the kinds that could take long.
var big = []struct {
	name string
	make func() *draft
}{
	{"four-bars in a chain", func() *draft { return chain(1000) }},
	{"points that nothing holds", func() *draft {
		s := newDraft()
		for i := range 3000 {
			s.found(fmt.Sprint("p", i))
		}
		return s
	}},
	{"a chain of rods that nothing holds", func() *draft {
		s := newDraft()
		p := s.fixed("o", 0, 0)
		for i := range 3000 {
			q := s.found(fmt.Sprint("p", i))
			s.length(p, q, s.num(10))
			p = q
		}
		return s
	}},
	{"a chain of rods between two walls", func() *draft {
		s := newDraft()
		p, end := s.fixed("o", 0, 0), s.fixed("end", 2500, 0)
		for i := range 600 {
			q := s.near(fmt.Sprint("p", i), float64(4*i), 0)
			s.length(p, q, s.num(10))
			s.slide(q, s.line("l", s.fixed("", float64(4*i), 0), s.num(math.Pi/2+0.01*float64(i))))
			p = q
		}
		s.length(p, end, s.num(100))
		return s
	}},
	{"a lattice of triangles", func() *draft {
		s := newDraft()
		at := func(i, j int) plane.Vec { return plane.Vec{X: 10 * float64(i), Y: 9*float64(j) + 3*float64(i%2)} }
		var n [24][24]int
		for i := range n {
			for j := range n[i] {
				z := at(i, j)
				if j == 0 {
					n[i][j] = s.fixed(fmt.Sprint("f", i), z.X, z.Y)
					continue
				}
				n[i][j] = s.near(fmt.Sprint("p", i, "_", j), z.X, z.Y)
				s.length(n[i][j-1], n[i][j], s.num(z.Sub(at(i, j-1)).Len()))
			}
		}
		for i := range n {
			for j := 1; j < len(n[i]); j++ {
				k := (i + 1) % len(n)
				s.length(n[i][j], n[k][j], s.num(at(i, j).Sub(at(k, j)).Len()))
			}
		}
		return s
	}},
	{"the same length a thousand times", func() *draft {
		s := sliderCrank()
		for range 1000 {
			s.length(1, 2, s.num(133.35))
		}
		return s
	}},
	{"polar points in a row", func() *draft {
		s := newDraft()
		p := s.fixed("o", 0, 0)
		for i := range 5000 {
			q := s.found(fmt.Sprint("p", i))
			s.length(p, q, s.num(1))
			s.heading(p, q, s.g.Add(s.turn(), s.num(0.01*float64(i))))
			p = q
		}
		return s
	}},
	{"slides in a row", func() *draft {
		s := newDraft()
		o := s.fixed("o", 0, 0)
		p := o
		for i := range 2000 {
			q := s.near(fmt.Sprint("p", i), 10*float64(i), 0)
			s.slide(q, s.line(fmt.Sprint("l", i), p, s.num(0)))
			s.length(p, q, s.num(10))
			p = q
		}
		return s
	}},
}

// Sketches of a few thousand points are answered, one way or the other, before anybody has lost his patience.
func TestBigSketches(t *testing.T) {
	for _, b := range big {
		t.Run(b.name, func(t *testing.T) {
			s := b.make()
			start := time.Now()
			l, err := New(s.Model, s.values(), 0.3, 0.3+2*math.Pi, nil)
			if err == nil {
				mo, err := l.Follow(t.Context(), nil, 0.3, 0.6, deg)
				if err != nil {
					t.Fatal(err)
				}
				p := new(Pose)
				if s := mo.At(0.4, p); s != Solved && len(mo.Broken()) == 0 {
					t.Errorf("%v, and not broken", s)
				}
			}
			if took := time.Since(start); took > 2*time.Minute { // less than a second on a processor that does nothing else
				t.Errorf("took %v", took)
			}
		})
	}
}
