package mend

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"barover/solver"
)

// set is dimensions that may serve together, by slopes.
type set struct {
	dims   []int // rising
	misses float64
	size   float64 // of the changes by slopes, in shares of reach
	grade  int     // of the largest of them
}

// sets lists the sets of n dimensions of a pool with which, by slopes, everything can hold, the likely best first. It
// also lists those that come halfway there, which may serve since slopes are not exact. Sets grow by what they lack: a
// check that does not hold and that none of them moves, or the rows that no changes of them meet together; the next
// dimension must do something for one of these. So no set that the slopes allow is left out, up to mostNodes.
func (s *search) sets(ctx context.Context, p pool, n int) (open, near []set) {
	t := &growth{s: s, pool: p, n: n, seen: map[string]bool{}, start: s.atRest()}
	t.grow(ctx, nil)
	better := func(a, b set) int {
		return cmp.Or(cmp.Compare(s.made(a.dims), s.made(b.dims)), cmp.Compare(math.Round(4*a.misses/t.start), math.Round(4*b.misses/t.start)),
			cmp.Compare(a.grade, b.grade), cmp.Compare(s.parts(a.dims), s.parts(b.dims)), cmp.Compare(a.size, b.size))
	}
	slices.SortStableFunc(t.open, better)
	slices.SortStableFunc(t.near, better)
	s.a.Cut = s.a.Cut || t.nodes >= mostNodes
	return t.open, t.near
}

// usedBy is the profiles and parts that dimensions are written in together.
func (s *search) usedBy(dims []int) (u solver.Users) {
	for _, d := range dims {
		u = union(u, s.cands[d].used)
	}
	return u
}

// growth is the state of the growing of sets.
type growth struct {
	s          *search
	pool       pool
	n          int
	start      float64 // the miss without any change
	seen       map[string]bool
	nodes      int
	open, near []set
}

// mostNodes bounds how many sets are tried by slopes.
const mostNodes = 6000

// nearer is the share of the first miss that a set may leave and still be tried.
const nearer = 0.5

// atRest is the miss of the worst row without any change.
func (s *search) atRest() float64 {
	worst := 0.0
	for i := range s.rows {
		if r := &s.rows[i]; !r.other && !s.held(r.check) {
			worst = math.Max(worst, -r.room)
		}
	}
	return worst
}

func (s *search) held(check int) bool { return !slices.Contains(s.short, check) }

// grow tries a set and those that it grows into.
func (t *growth) grow(ctx context.Context, dims []int) {
	k := fmt.Sprint(dims)
	if t.seen[k] || t.nodes >= mostNodes || ctx.Err() != nil {
		return
	}
	t.seen[k] = true
	t.nodes++
	if next, lacks := t.unmoved(dims); lacks {
		if len(dims) < t.n {
			for _, d := range next {
				t.grow(ctx, with(dims, d))
			}
		}
		return
	}
	misses, next := t.bound(dims)
	if len(dims) < t.n {
		for _, d := range next {
			t.grow(ctx, with(dims, d))
		}
		return
	}
	if !t.pool.allows(dims) {
		return
	}
	switch {
	case misses <= slack*10:
		_, z := t.s.easiest(dims, t.s.rows, nil)
		size, most := 0.0, 0.0
		for k, v := range z {
			size += math.Abs(v)
			most = math.Max(most, t.s.share(dims[k], v*t.s.cands[dims[k]].reach))
		}
		t.open = append(t.open, set{dims, 0, size, grade(most)})
	case misses <= nearer*t.start:
		t.near = append(t.near, set{dims: dims, misses: misses})
	}
}

func with(dims []int, d int) []int {
	list := append(slices.Clone(dims), d)
	slices.Sort(list)
	return list
}

// gain is the most that a dimension can do for a row, mm.
func (s *search) gain(r *row, d int) float64 {
	c := &s.cands[d]
	return math.Max(r.slope[d]*(c.to-c.now), r.slope[d]*(c.from-c.now))
}

// unmoved finds the check that does not hold, that none of some dimensions helps, and that the fewest others help. It
// lists these others, the strongest first.
func (t *growth) unmoved(dims []int) (next []int, lacks bool) {
	fewest := math.MaxInt
	for _, i := range t.s.short {
		gains, known := map[int]float64{}, false
		for k := range t.s.rows {
			r := &t.s.rows[k]
			if r.check != i {
				continue
			}
			known = true
			for _, d := range t.pool.dims {
				if g := t.s.gain(r, d); g > 1e-6 && r.room < 0 {
					gains[d] = math.Max(gains[d], g)
				}
			}
		}
		if !known || slices.ContainsFunc(dims, func(d int) bool { return gains[d] > 0 }) {
			continue
		}
		if lacks = true; len(gains) < fewest {
			fewest, next = len(gains), byGain(gains)
		}
	}
	return next, lacks
}

func byGain(gains map[int]float64) (list []int) {
	for d := range gains {
		list = append(list, d)
	}
	slices.SortFunc(list, func(a, b int) int { return cmp.Or(cmp.Compare(gains[b], gains[a]), a-b) })
	return list
}

// bound is by how much some row is missed whatever the changes of some dimensions, and which others could lessen that.
func (t *growth) bound(dims []int) (misses float64, next []int) {
	misses = math.Inf(1)
	gains := map[int]float64{}
	for _, ways := range t.s.choices(dims, t.s.rows) {
		p, used := t.s.program(dims, t.s.rows, ways)
		least, y := p.bound()
		misses = math.Min(misses, least)
		if len(dims) == t.n {
			continue
		}
		if y == nil { // slopes allow it already, and it was tried or will be: other dimensions that move a check that does not hold
			for k := range t.s.rows {
				if r := &t.s.rows[k]; !t.s.held(r.check) {
					t.more(gains, dims, []*row{r}, []float64{1}, 0)
				}
			}
			continue
		}
		t.more(gains, dims, used, y, least)
	}
	return misses, byGain(gains)
}

// more adds the dimensions that lessen a weighted sum of rows, unless the strongest of them, as many as may still be
// taken, do not lessen it by half of the miss.
func (t *growth) more(gains map[int]float64, dims []int, rows []*row, y []float64, least float64) {
	mine := map[int]float64{}
	for _, d := range t.pool.dims {
		if slices.Contains(dims, d) {
			continue
		}
		sum := 0.0
		for i, r := range rows {
			sum += y[i] * r.slope[d]
		}
		c := &t.s.cands[d]
		if g := math.Max(sum*(c.to-c.now), sum*(c.from-c.now)); g > 1e-6 {
			mine[d] = g
		}
	}
	order := byGain(mine)
	sum := 0.0
	for _, d := range order[:min(len(order), t.n-len(dims))] {
		sum += mine[d]
	}
	if sum < least-nearer*t.start {
		return
	}
	for d, g := range mine {
		gains[d] = math.Max(gains[d], g)
	}
}
