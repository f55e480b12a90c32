package clearance

import (
	"cmp"
	"math"
	"slices"

	"barover/solver/spare"
	"barover/solver/taylor"
)

// Engines are told apart by their sizes without being solved. Under a figure lie straight lines in the sizes, each good on a part of a
// box: an engine for which all of them keep above what is asked surely holds. Where one does not, the figure is bounded on that part with
// the sizes of that engine, and from above at the place where it is about least.

// Sorting tells engines apart by a figure that tubes over sizes hold. Many goroutines may share it.
type Sorting struct {
	keeps  float64   // an engine whose figure is nowhere below surely holds
	falls  float64   // one whose figure is somewhere below surely falls short
	lines  []float64 // one after the other: each the figure less keeps, and its slopes by the sizes; none lies above another everywhere
	parts  []sortedPart
	judges spare.Pool[judge]
}

// Class is what is known of an engine.
type Class uint8

// The classes.
const (
	InDoubt Class = iota
	SurelyHolds
	SurelyShort
)

// sortedPart is a part of a box on which the figure may come below what is asked.
type sortedPart struct {
	node  overNode
	lines []float64 // as of a Sorting
	poly  []float64 // of a sum: what encloses it there, with its radius
	rad   float64
}

// judge looks at one engine on a part: its figure is nowhere below lo there, and somewhere no more than hi.
type judge interface {
	at(p *sortedPart, dev []float64, keeps, falls float64) (lo, hi float64)
}

const (
	// mostSorted is how many parts a figure is told by, and mostWholes one that takes something over all of the turn: that is enclosed for
	// each part.
	mostSorted, mostWholes = 200, 4
	// sortedShare is how much a part may lose since its slopes are not the same everywhere, as a share of what the sizes do.
	sortedShare = 0.003
)

// newSorting makes a Sorting of some parts.
func newSorting(devs int, keeps, falls float64, parts []sortedPart, make func() judge) *Sorting {
	s := &Sorting{keeps: keeps, falls: falls, parts: parts}
	s.judges.New = make
	for i := range parts {
		s.lines = append(s.lines, parts[i].lines...)
	}
	s.lines = undercut(s.lines, 1+devs)
	return s
}

// undercut leaves out the lines that lie above another whatever the sizes.
func undercut(lines []float64, n int) (out []float64) {
	all := slices.Collect(slices.Chunk(lines, n))
	low := func(l []float64) float64 {
		v := l[0]
		for _, a := range l[1:] {
			v -= math.Abs(a)
		}
		return v
	}
	slices.SortStableFunc(all, func(a, b []float64) int { return cmp.Compare(low(a), low(b)) })
	for _, l := range all {
		if !slices.ContainsFunc(slices.Collect(slices.Chunk(out, n)), func(u []float64) bool { return above(l, u) }) {
			out = append(out, l...)
		}
	}
	return out
}

// above reports whether a line lies nowhere below another.
func above(l, other []float64) bool {
	room := l[0] - other[0]
	for i, a := range l[1:] {
		room -= math.Abs(a - other[1+i])
	}
	return room >= 0
}

// least is the least of some lines with these sizes.
func least(lines, dev []float64) float64 {
	lo, n := math.Inf(1), 1+len(dev)
	for ; len(lines) >= n; lines = lines[n:] {
		v := lines[0]
		for i, a := range lines[1:n] {
			v += a * dev[i]
		}
		if !(v >= lo) {
			lo = v
		}
	}
	return lo
}

// Of classes the engine with these sizes, each from -1, the least, to 1. Those in discs do not matter. Its figure is nowhere below floor,
// unless it surely holds.
func (s *Sorting) Of(dev []float64) (c Class, floor float64) {
	floor = least(s.lines, dev)
	if floor >= 0 {
		return SurelyHolds, s.keeps
	}
	return s.closely(dev), s.keeps + floor
}

// closely looks at an engine on every part on which the lines leave it in doubt, the lowest first.
func (s *Sorting) closely(dev []float64) Class {
	type low struct {
		part *sortedPart
		v    float64
	}
	var list []low
	for i := range s.parts {
		if v := least(s.parts[i].lines, dev); !(v >= 0) {
			list = append(list, low{&s.parts[i], v})
		}
	}
	slices.SortStableFunc(list, func(a, b low) int { return cmp.Compare(a.v, b.v) })
	j := s.judges.Must()
	defer s.judges.Put(j)
	class := SurelyHolds
	for _, l := range list {
		lo, hi := j.at(l.part, dev, s.keeps, s.falls)
		if hi < s.falls {
			return SurelyShort
		}
		if !(lo >= s.keeps) {
			class = InDoubt
		}
	}
	return class
}

// linesBelow collects the lines under what a bound of a part stands on. A nil one collects nothing.
type linesBelow struct {
	keeps     float64 // what lies above everywhere is left out
	now, best lineSet // of the direction in hand, and of the best
	gap       float64 // what the figure is about where the last bound of it is least
}

// at takes note of what the figure is about where a bound of it is least.
func (l *linesBelow) at(gap float64) {
	if l != nil {
		l.gap = gap
	}
}

type lineSet struct {
	lines []float64
	turns float64 // the most that is lost since slopes turn, and along which coordinate
	along int
	reach float64 // the most that the sizes do
}

// upTo is how far up what is bounded must be looked at, where all that may come below lo counts anyway.
func (l *linesBelow) upTo(lo float64) float64 {
	if l == nil {
		return lo
	}
	return max(lo, l.keeps)
}

// add takes the line under the polynomial in hand less a radius, which is nowhere below low.
func (l *linesBelow) add(d *pairOver, off, low float64) {
	if l == nil || low >= l.keeps {
		return
	}
	b := d.below(d.space, d.poly, d.disc)
	b.Slope = d.few.Among(b.Slope)
	l.now.add(&b, off, l.keeps)
}

func (s *lineSet) add(b *taylor.Line, off, keeps float64) {
	s.lines = append(append(s.lines, b.Lo-off-keeps), b.Slope...)
	reach := taylor.SizeOf(b.Slope)
	if s.reach = max(s.reach, reach); b.Turns > s.turns {
		s.turns, s.along = b.Turns, b.Along
	}
}

// keep takes the direction in hand for the best, and drop forgets it.
func (l *linesBelow) keep() {
	if l != nil {
		l.best = l.now
	}
}

func (l *linesBelow) drop() {
	if l != nil {
		l.now = lineSet{}
	}
}

// sortable is a part while it is split.
type sortable struct {
	sortedPart
	set   lineSet
	slack float64 // by how much its bound is about too low
}

// sorted splits parts, or has them enclosed anew, until each tells enough, and no further than there may be. look bounds a part, and
// reports false where nothing on it comes below what is asked.
func (o *Over) sorted(open []overNode, most int, look func(n overNode) (p sortable, low, ok bool)) ([]sortedPart, bool) {
	var list []sortable
	fine := true
	add := func(nodes ...overNode) {
		for _, n := range nodes {
			p, low, ok := look(n)
			if fine = fine && ok; low {
				list = append(list, p)
			}
		}
	}
	add(open...)
	var out []sortedPart
	for fine && len(list) > 0 {
		k := 0
		for i := range list {
			if list[i].loose() > list[k].loose() {
				k = i
			}
		}
		p := list[k]
		list[k] = list[len(list)-1]
		list = list[:len(list)-1]
		if kids := o.closer(&p); kids != nil && len(list)+len(out) < most {
			add(kids...)
		} else {
			out = append(out, p.sortedPart)
		}
	}
	return out, fine
}

// loose is how much more is lost on a part than may be.
func (p *sortable) loose() float64 { return max(p.slack, p.set.turns) - sortedShare*p.set.reach }

// closer is what a part is to be cut into for it to tell more; nil where nothing is gained by that.
func (o *Over) closer(p *sortable) []overNode {
	if p.loose() <= 0 {
		return nil
	}
	if kids := o.finer(&p.node, p.node.lo+p.slack); kids != nil {
		return kids
	}
	k := p.node.widest
	if p.set.turns > p.slack-p.node.wide {
		k = p.set.along
	} else if p.slack-p.node.wide <= sortedShare*p.set.reach {
		return nil // it is radii
	}
	if k < 0 || p.node.part.Half[k] < leastOver {
		return nil
	}
	return []overNode{p.node.halved(k, 0), p.node.halved(k, 1)}
}
