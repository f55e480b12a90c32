// Package hunt searches for the least of a figure of which nothing is known but its values: along one line, and over several axes at
// once, from samples on a Grid, where it may have many valleys, kinks and jumps. Along a line it finds roots and edges too.
//
// The way of the data: line (one search along a line), hunt (the grid that is sampled, and from the samples downhill). It knows
// nothing of engines, and proves nothing.
package hunt

import (
	"cmp"
	"math"
	"slices"
)

// Axis is one of the ways in which something moves.
type Axis struct {
	At     []float64 // where it is sampled, rising
	Lo, Hi float64   // everything between counts as well; equal where it stands still
}

// Free reports whether the axis moves at all.
func (a *Axis) Free() bool { return a.Hi > a.Lo }

// spacing is the mean distance of its samples.
func (a *Axis) spacing() float64 { return (a.At[len(a.At)-1] - a.At[0]) / float64(len(a.At)-1) }

// Grid is every combination of the samples of some axes, the last axis fastest.
type Grid []Axis

// Size is the number of combinations.
func (g Grid) Size() int {
	n := 1
	for k := range g {
		n *= len(g[k].At)
	}
	return n
}

// Place returns the i-th combination.
func (g Grid) Place(i int) []float64 {
	at := make([]float64, len(g))
	for k := len(g) - 1; k >= 0; k-- {
		n := len(g[k].At)
		at[k] = g[k].At[i%n]
		i /= n
	}
	return at
}

// Nearest returns the number of the combination nearest to a place.
func (g Grid) Nearest(at []float64) (i int) {
	for k := range g {
		s := g[k].At
		j, _ := slices.BinarySearch(s, at[k])
		if j == len(s) || j > 0 && at[k]-s[j-1] < s[j]-at[k] {
			j--
		}
		i = i*len(s) + j
	}
	return i
}

// Divided divides the steps of all free axes into equal parts, until there are about as many places as asked for, or as many parts of
// an axis as parts allows. The axes differ by one division at most. Where there are too many places already, it leaves steps out. It
// reports whether each step is divided.
func (g Grid) Divided(places int, parts func(k int) int) (out Grid, all bool) {
	out = slices.Clone(g)
	n, grows := make([]int, len(g)), make([]bool, len(g))
	for k := range g {
		n[k], grows[k] = 1, g[k].Free() && parts(k) > 1
	}
	for out.Size() > places {
		most := 0
		for k := range out {
			if len(out[k].At) > len(out[most].At) {
				most = k
			}
		}
		if n[most] = 0; len(out[most].At) < 3 {
			return out, false
		}
		out[most].At = thinned(out[most].At)
	}
	for all = !slices.Contains(n, 0); all; {
		least := -1
		for k := range out {
			if grows[k] && (least < 0 || n[k] < n[least]) {
				least = k
			}
		}
		if least < 0 {
			break
		}
		was := out[least].At
		out[least].At = Split(g[least].At, n[least]+1)
		if grows[least] = out.Size() <= places; !grows[least] {
			out[least].At = was
			continue
		}
		n[least]++
		grows[least] = n[least] < parts(least)
	}
	for k := range g {
		all = all && (n[k] > 1 || !g[k].Free())
	}
	return out, all
}

// thinned leaves out every other sample, but not the last.
func thinned(at []float64) (out []float64) {
	for i, x := range at {
		if i%2 == 0 || i == len(at)-1 {
			out = append(out, x)
		}
	}
	return out
}

// Split divides every step into so many parts.
func Split(at []float64, parts int) (out []float64) {
	for i, x := range at {
		for j := range parts {
			if i > 0 && j > 0 {
				out = append(out, at[i-1]+(x-at[i-1])*float64(j)/float64(parts))
			}
		}
		out = append(out, x)
	}
	return out
}

const (
	// startsMost is how many places of a grid a hunt goes downhill from at first, and endsMost from how many of the best ends
	// it goes on.
	startsMost, endsMost = 128, 8
	// lineLooks is how many places are tried along one line. firstRounds is how often that is done along all lines at first, and
	// huntRounds at most in the end.
	lineLooks, firstRounds, huntRounds = 10, 2, 12
	// edgesMost is from how many of the best ends the last axis is searched alone, and edgeLooks how many places on either
	// side are tried first.
	edgesMost, edgeLooks = 4, 4
)

// Trough is where a figure has a value.
type Trough struct {
	At []float64
	V  float64
}

// Hunt searches for the least of a figure over the axes of a grid, where it was sampled. From each sample that is no greater
// than its neighbours, and could lead below the best by the slopes to them, it goes downhill along lines over all axes at
// once (M. J. D. Powell, An efficient method for finding the minimum of a function of several variables without
// calculating derivatives, 1964).
type Hunt struct {
	Grid
	Values []float64                  // at the places of the grid; +Inf for none
	Of     func(at []float64) float64 // +Inf for none
	Within float64                    // how much better a place must be to be worth trying
	Best   float64                    // the best known
	Looks  int                        // how many more places may be tried
	Edges  bool                       // it may jump along the last axis
	Cut    bool                       // there were more places to start from than were tried
}

// Lowest returns where the ways downhill ended, the best first.
func (h *Hunt) Lowest() (ends []Trough) {
	spare := h.Looks / 2
	for i, s := range h.starts() {
		if !(s.V < h.Best-h.Within) {
			break
		}
		if h.Cut = i >= startsMost || h.Looks <= spare; h.Cut {
			break
		}
		p := Trough{s.At, h.Of(s.At)}
		h.downhill(&p, firstRounds)
		h.Best = math.Min(h.Best, p.V)
		ends = append(ends, p)
	}
	ends = h.apart(ends)
	ends = ends[:min(len(ends), endsMost)]
	for i := range ends {
		h.across(&ends[i])
		h.downhill(&ends[i], huntRounds)
	}
	ends = h.apart(ends)
	if h.Edges {
		for i := range ends[:min(len(ends), edgesMost)] {
			h.edge(&ends[i])
		}
		ends = h.apart(ends)
	}
	return ends
}

// apart sorts places by their values, and leaves out those within one sample of a better one.
func (h *Hunt) apart(list []Trough) (out []Trough) {
	slices.SortStableFunc(list, func(a, b Trough) int { return cmp.Compare(a.V, b.V) })
	for _, p := range list {
		if !slices.ContainsFunc(out, func(q Trough) bool {
			for k := range h.Grid {
				if a := &h.Grid[k]; a.Free() && math.Abs(p.At[k]-q.At[k]) > a.spacing() {
					return false
				}
			}
			return true
		}) {
			out = append(out, p)
		}
	}
	return out
}

// starts lists the places of the grid that are no greater than their neighbours, with the value to which the figure could
// fall about each, the lowest first. Of equal neighbours one counts.
func (h *Hunt) starts() (out []Trough) {
	for i, v := range h.Values {
		if floor, ok := h.floor(i); ok && floor < h.Best-h.Within && v < math.Inf(1) {
			out = append(out, Trough{h.Place(i), floor})
		}
	}
	slices.SortStableFunc(out, func(a, b Trough) int { return cmp.Compare(a.V, b.V) })
	return out
}

// floor is the least that the figure could fall to half way to the neighbours of the i-th place, by the slopes to them. It is false
// where one of them is less.
func (h *Hunt) floor(i int) (floor float64, least bool) {
	v, stride := h.Values[i], 1
	floor = v
	for k := len(h.Grid) - 1; k >= 0; k-- {
		n, far := len(h.Grid[k].At), 0.0
		j := i / stride % n
		for _, by := range [2]int{-1, 1} {
			if j+by < 0 || j+by >= n || !h.Grid[k].Free() {
				continue
			}
			d := h.Values[i+by*stride] - v
			if d < -h.Within/100 || d <= h.Within/100 && by < 0 {
				return 0, false
			}
			if !math.IsInf(d, 1) {
				far = math.Max(far, d)
			}
		}
		floor -= far / 2
		stride *= n
	}
	return floor, true
}

// try evaluates a place and keeps it if it is better.
func (h *Hunt) try(p *Trough, at []float64) float64 {
	if h.Looks--; h.Looks < 0 {
		return math.Inf(1)
	}
	v := h.Of(at)
	if v < p.V {
		*p = Trough{slices.Clone(at), v}
	}
	return v
}

// across tries all samples along each axis in turn, as long as that helps: where ranges do not depend on one another, the best of
// each is the best of all. The samples of two axes are close enough without it.
func (h *Hunt) across(p *Trough) {
	free := 0
	for k := range h.Grid {
		if h.Grid[k].Free() {
			free++
		}
	}
	if free < 3 {
		return
	}
	for range huntRounds {
		v := p.V
		for k := range h.Grid {
			at := slices.Clone(p.At)
			for _, x := range h.Grid[k].At {
				if h.Grid[k].Free() && x != p.At[k] {
					at[k] = x
					h.try(p, at)
				}
			}
		}
		if !(p.V < v-h.Within) {
			return
		}
	}
}

// downhill searches along one axis after another, and then along the total step of that round, as for a ridge that lies
// across the axes. The lines grow shorter when the steps do.
func (h *Hunt) downhill(p *Trough, rounds int) {
	var ways [][]float64
	for k := range h.Grid {
		if h.Grid[k].Free() {
			way := make([]float64, len(h.Grid))
			way[k] = h.Grid[k].spacing()
			ways = append(ways, way)
		}
	}
	reach := 1.0
	for range rounds {
		from, v, most, best := p.At, p.V, 0.0, 0
		for i, way := range ways {
			was := p.V
			h.along(p, way, reach)
			if gain := was - p.V; gain > most {
				most, best = gain, i
			}
		}
		led, far := make([]float64, len(from)), 0.0
		for k := range led {
			if led[k] = p.At[k] - from[k]; led[k] != 0 {
				far = math.Max(far, math.Abs(led[k])/h.Grid[k].spacing())
			}
		}
		if far > 0 && len(ways) > 1 {
			h.along(p, led, 1)
			for k := range led {
				led[k] *= 1 / far
			}
			ways = append(slices.Delete(ways, best, best+1), led)
		}
		if !(p.V < v-h.Within/10) && reach < 0.1 {
			return
		}
		reach = math.Min(reach, math.Max(far, reach/5))
	}
}

// edge searches the axes before the last, with the last searched anew at each place. A figure jumps where loose lines change
// sides, and it may be least on the edge of the jump, which lies across the axes: a line along any of them leaves it.
func (h *Hunt) edge(p *Trough) {
	n := len(h.Grid) - 1
	if !h.Grid[n].Free() {
		return
	}
	last := Hunt{Grid: h.Grid[n:], Within: h.Within, Looks: math.MaxInt}
	outer := Hunt{Grid: h.Grid[:n], Within: h.Within, Looks: math.MaxInt}
	outer.Of = func(at []float64) float64 {
		best := Trough{p.At[n:], math.Inf(1)}
		last.Of = func(x []float64) float64 { return h.Of(append(slices.Clone(at), x...)) }
		for j := -edgeLooks; j <= edgeLooks; j++ {
			last.try(&best, []float64{p.At[n] + float64(j)/edgeLooks*h.Grid[n].spacing()})
		}
		last.along(&best, []float64{h.Grid[n].spacing() / edgeLooks}, 1)
		if best.V < p.V {
			*p = Trough{append(slices.Clone(at), best.At...), best.V}
		}
		return best.V
	}
	outer.downhill(&Trough{p.At[:n], p.V}, huntRounds)
}

// along searches along a line through a place, by so many times its length on either side.
func (h *Hunt) along(p *Trough, way []float64, reach float64) {
	from, lo, hi := p.At, -reach, reach
	for k, d := range way {
		if d != 0 {
			a, b := (h.Grid[k].Lo-from[k])/d, (h.Grid[k].Hi-from[k])/d
			lo, hi = math.Max(lo, math.Min(a, b)), math.Min(hi, math.Max(a, b))
		}
	}
	if !(lo < hi) {
		return
	}
	at := make([]float64, len(from))
	LeastWithin(func(x float64) float64 {
		for k, d := range way {
			at[k] = math.Min(math.Max(from[k]+x*d, h.Grid[k].Lo), h.Grid[k].Hi)
		}
		return h.try(p, at)
	}, lo, 0, hi, p.V, 1e-3*(hi-lo), lineLooks)
}
