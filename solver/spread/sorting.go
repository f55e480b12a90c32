package spread

import (
	"context"
	"math"

	"barover/solver"
	"barover/solver/machine"
	"barover/solver/tube"
)

// An enclosure of all engines decides how an engine drawn fares. It leaves an engine in doubt whose figure comes as near to its limit as
// the enclosure is wide. Where many are in doubt, a size is halved and each half is enclosed again, for the side in question alone.
// That takes a fraction of the work of solving the engines.

// sorting tells engines of some sizes apart by one side.
type sorting struct {
	sizes  []tube.Size
	by     *machine.Sorter // nil where these sizes cannot be enclosed at once
	kids   []*sorting      // of both halves of a size; none yet
	cut    int             // that size
	level  int
	from   int  // the first engine that was asked of it
	doubts int  // engines that it has left in doubt since
	barren bool // halves leave about as many
}

const (
	// manyDoubts is how many engines in doubt are worth another halving: about as much work as that.
	manyDoubts = 12
	// mostLevels is how often sizes are halved, and mostSortings how many parts there may be for one side.
	mostLevels, mostSortings = 6, 20
	// fewer is to what share of them halves must bring those in doubt to be halved again.
	fewer, enoughLeft = 0.8, 8 // where there are so many
)

// sortBy begins a side's sorting with the enclosure that it was proved by; nil where halving would decide no more. A clear line with play
// is not sorted. Its bound covers every place that the greatest play allows, and an engine's sizes do not say where its pins stand.
func (s *spread) sortBy(ctx context.Context, d *side, by bounder, sizes []tube.Size) (*sorting, error) {
	if len(s.q.Problem.Plays) > 0 && s.q.Problem.Checks[s.split.whole[d.half]].Kind == solver.Clear {
		return nil, nil
	}
	sorter, err := by.Sorter(ctx, d.half, s.split.upper[d.half])
	_, parted := by.(halved)
	if err != nil || sorter == nil && !parted {
		return nil, err
	}
	return &sorting{sizes: sizes, by: sorter}, nil
}

// of decides how an engine fares, and notes which part decided.
func (n *sorting) of(at []float64) (f fare) {
	for {
		f.by = n
		if n.by != nil {
			if f.verdict, f.room = n.by.Of(at); f.verdict != machine.Open {
				return f
			}
		}
		if n.kids == nil {
			return f
		}
		if at[n.cut] < n.sizes[n.cut].Mid {
			n = n.kids[0]
		} else {
			n = n.kids[1]
		}
	}
}

// sort draws engine number n and asks how it fares.
func (s *spread) sort(e *engineDrawn, n int, told []int) {
	e.at = s.sizes(n)
	e.fares = make([]fare, len(told))
	for k, i := range told {
		e.fares[k] = s.sides[i].sorting.of(e.at)
	}
}

// sortCloser halves sizes where they leave many engines in doubt, and asks of these again.
func (s *spread) sortCloser(ctx context.Context, engines []engineDrawn, told []int) error {
	for k, i := range told {
		d := &s.sides[i]
		in := map[*sorting][]int{}
		var open []*sorting
		take := func(e int) {
			f := &engines[e].fares[k]
			if f.verdict != machine.Open {
				return
			}
			if in[f.by] == nil {
				open = append(open, f.by)
			}
			f.by.doubts++
			in[f.by] = append(in[f.by], e)
		}
		for e := range engines {
			take(e)
		}
		for ; len(open) > 0; open = open[1:] {
			n := open[0]
			if s.expected(n) < manyDoubts || n.barren || n.level == mostLevels || d.sortings >= mostSortings {
				continue
			}
			if err := s.halve(ctx, d, n); err != nil {
				return err
			}
			if n.kids == nil {
				continue
			}
			left := 0
			for _, e := range in[n] {
				f := &engines[e].fares[k]
				*f = n.of(engines[e].at)
				take(e)
				left += count(f.verdict == machine.Open)
			}
			for _, kid := range n.kids {
				kid.barren = n.by != nil && left >= enoughLeft && float64(left) > fewer*float64(len(in[n]))
			}
		}
	}
	return nil
}

// expected is how many engines a sorting will have left in doubt when all are drawn, if it goes on as it did.
func (s *spread) expected(n *sorting) float64 {
	return float64(n.doubts) * float64(s.q.Samples-n.from) / float64(s.asked-n.from)
}

// halve encloses both halves of the size that does most to a side, for that side alone.
func (s *spread) halve(ctx context.Context, d *side, n *sorting) error {
	n.barren = true // unless it goes well
	if n.cut = s.doesMost(d, n.sizes); n.cut < 0 || s.base == nil || s.still {
		return nil
	}
	kids := make([]*sorting, 2)
	err := machine.Share(ctx, s.quiet(), len(kids), func(k int) (err error) {
		kids[k] = &sorting{sizes: halfOf(n.sizes, n.cut, k), level: n.level + 1, from: s.drawn}
		kids[k].by, err = s.sorterOver(ctx, d, kids[k].sizes)
		return err
	})
	if err == nil {
		n.kids, n.barren, d.sortings = kids, false, d.sortings+len(kids)
	}
	return err
}

// doesMost is the size with the most effect on a side, by its slopes. Without slopes it is the widest of those that reach the side, as a
// share of its tolerance. It is -1 where there is none.
func (s *spread) doesMost(d *side, sizes []tube.Size) int {
	best, most := -1, 0.0
	for _, i := range d.reach {
		t := s.q.Tolerances[i]
		by := sizes[i].Half / (t.Upper - t.Lower)
		if d.slopes != nil {
			by = math.Abs(d.slopes[i]) * sizes[i].Half
		}
		if by > most {
			best, most = i, by
		}
	}
	return best
}

// sorterOver encloses some sizes for one side; nil where that cannot be done.
func (s *spread) sorterOver(ctx context.Context, d *side, sizes []tube.Size) (*machine.Sorter, error) {
	by, err := s.bounderOver(ctx, d, mids(sizes), sizes)
	if by == nil || err != nil {
		return nil, err
	}
	return by.Sorter(ctx, d.half, s.split.upper[d.half])
}

// bounderOver encloses the engines of some sizes for one side; nil where that cannot be done. The sizes are in the middle in the
// engine at.
func (s *spread) bounderOver(ctx context.Context, d *side, at []float64, sizes []tube.Size) (bounder, error) {
	m, err := s.machineAbout(at, []int{d.half})
	if err != nil {
		return nil, ctx.Err()
	}
	if s.q.Problem.Checks[s.split.whole[d.half]].Kind == solver.Clear && m.Shakes() {
		return m.Everywhere(ctx, s.alone(), sizes, []int{d.half})
	}
	return m.OverSizes(ctx, s.alone(), machine.Sizes{List: sizes})
}
