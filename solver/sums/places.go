package sums

import (
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// A place of the turn, where a sum passes zero or is least, is enclosed over a cell of travels in two steps. First,
// bounds of the sum and of its rate exclude legs of the turn until only one leg may hold the place, at every travel of
// the cell. Within that leg the place is followed as the travels move, by Newton's method with a bound on what is left.

const (
	// shortestLeg is the length at which a leg of the turn is no longer cut, rad.
	shortestLeg = 1e-9
	// widestLeg is the length down to which a leg is always cut, rad.
	widestLeg = 0.1
	// mostLegs is how many legs may remain in a search for where a sum is least before they are cut no further: if the
	// place moves with the travels, the legs that it moves over remain.
	mostLegs = 32
	// mostSized is mostLegs where sizes move the place as well: a polynomial follows it over all of the legs that remain.
	mostSized = 8
	// placeSteps is the number of halvings of a leg that holds a place.
	placeSteps = 40
)

// seekBy prepares the figure by which a place is found.
func (w *wholeOf) seekBy(q *Prover, by expr.ID) (err error) {
	switch {
	case w.op.IsPlace() && by == expr.None:
		return taylor.Unenclosed{Op: expr.Rate}
	case w.op == expr.AtPlace && q.values.Graph.Uses(by).Constant():
		w.place = q.values.At(by)
	case w.op == expr.AtPlace:
		round := *q
		q, round.round = &round, true
		fallthrough
	case w.op.IsPlace():
		w.by, err = q.Figure(w.ctx, by)
	}
	return err
}

// leg is a stretch of the turn. It may begin below the range of a closed turn, since it may hold the start.
type leg struct{ from, to float64 }

func (l leg) mid() float64 { return l.from + (l.to-l.from)/2 }

// bound bounds a sum over a leg, for all travels of a cell. It reports false where it cannot be enclosed.
func (w *wholeOf) bound(f *Figure, l leg, c *tube.Cell) (b span, ok bool) {
	t := f.tubes[0]
	if t.Closes && l.from < t.Turn.From {
		turn := t.Turn.To - t.Turn.From
		if l.to < t.Turn.From {
			return w.bound(f, leg{l.from + turn, l.to + turn}, c)
		}
		before, ok1 := w.bound(f, leg{l.from + turn, t.Turn.To}, c)
		after, ok2 := w.bound(f, leg{t.Turn.From, l.to}, c)
		return span{min(before.lo, after.lo), max(before.hi, after.hi)}, ok1 && ok2
	}
	b = span{math.Inf(1), math.Inf(-1)}
	for i := range t.Boxes {
		p, in := t.Within(&t.Boxes[i], c)
		if !in || !t.Stretch(&t.Boxes[i], &p, l.from, l.to) {
			continue
		}
		w.budget--
		if p.Half[0] > 0 {
			p.Half[0] += 0x1p-50 // so that neighbouring legs leave no sliver between them
		}
		v, enclosed := f.run[0].Over(i, &p)
		if !enclosed || f.run[0].Doubt() || w.budget < 0 {
			return b, false
		}
		lo, _ := t.Space.Least(v.Poly)
		hi, _ := t.Space.Greatest(v.Poly)
		b.lo, b.hi = min(b.lo, lo-v.Rad), max(b.hi, hi+v.Rad)
	}
	return b, b.lo <= b.hi
}

// side is on which side of zero a span lies: -1, 1, or 0 where it may be either.
func (s span) side() int {
	switch {
	case s.lo > 0:
		return 1
	case s.hi < 0:
		return -1
	}
	return 0
}

// legs is the turn cut at the ends of the boxes. In a closed turn it begins, and ends, a little earlier: see
// expr.SameTurn.
func (w *wholeOf) legs() (list []leg) {
	t := w.f.tubes[0]
	early := 0.0
	if t.Closes {
		early = expr.SameTurn
	}
	cuts := []float64{t.Turn.From - early, t.Turn.To - early}
	for i := range t.Boxes {
		if from := t.Boxes[i].Turn.From; from > cuts[0] && from < cuts[1] {
			cuts = append(cuts, from)
		}
	}
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	for i := range len(cuts) - 1 {
		list = append(list, leg{cuts[i], cuts[i+1]})
	}
	return list
}

// sideOver is the side of a sum over a leg, with a sign; 0 and not ok where it cannot be enclosed.
func (w *wholeOf) sideOver(f *Figure, l leg, c *tube.Cell, sign float64) (side int, ok bool) {
	b, ok := w.bound(f, l, c)
	if !ok {
		return 0, false
	}
	return int(sign) * b.side(), true
}

// passing encloses the first place at which the sum rises (sign 1) or falls (-1) past zero. Where whole turns make no difference,
// the only place is the first, wherever the turn begins: with some sizes it may lie before the start of the turn, with others
// after it.
func (w *wholeOf) passing(c *tube.Cell, sign float64) wholeModel {
	all := w.legs()
	rises, ok := w.rises(all, c, sign, 1)
	if !ok && w.round && w.f.tubes[0].Closes {
		turn := w.f.tubes[0].Turn.To - w.f.tubes[0].Turn.From
		half := len(all) / 2
		for i := half; i < len(all); i++ {
			all[i] = leg{all[i].from - turn, all[i].to - turn}
		}
		all[len(all)-1].to = all[0].from
		if rises, ok = w.rises(append(all[half:], all[:half]...), c, sign, 2); len(rises) > 1 {
			return wholeModel{}
		}
	}
	if !ok || len(rises) == 0 {
		return wholeModel{}
	}
	return w.followed(w.f, w.narrowed(rises[0], c, sign), c)
}

// rises lists the legs of the first rises of the sum past zero, up to some number. A rise is found where legs over which the sum rises
// follow a place at which it is surely below, and end where it is surely above. It reports false where it may or may not pass.
func (w *wholeOf) rises(open []leg, c *tube.Cell, sign float64, most int) (found []leg, ok bool) {
	open = slices.Clone(open)
	slices.Reverse(open)
	below := 0      // the side of the sum where the rise began
	rise := leg{}   // the legs of the rise
	rising := false // it is in such a leg
	end := func(side int) (sure bool) {
		if side > 0 && below < 0 {
			found = append(found, rise)
		}
		rising = false
		return side < 0 || side > 0 && below != 0
	}
	for len(open) > 0 && len(found) < most {
		l := open[len(open)-1]
		open = open[:len(open)-1]
		side, ok := w.sideOver(w.f, l, c, sign)
		if !ok {
			return nil, false
		}
		grows := 0
		if side == 0 {
			if grows, _ = w.sideOver(w.by, l, c, sign); grows == 0 {
				if l.to-l.from < shortestLeg {
					return nil, false
				}
				open = append(open, leg{l.mid(), l.to}, leg{l.from, l.mid()})
				continue
			}
		}
		switch {
		case grows > 0 && !rising:
			if below, ok = w.sideOver(w.f, leg{l.from, l.from}, c, sign); !ok {
				return nil, false
			}
			rise, rising = l, true
		case grows > 0:
			rise.to = l.to
		case rising:
			if side == 0 {
				if side, ok = w.sideOver(w.f, leg{l.from, l.from}, c, sign); !ok {
					return nil, false
				}
			}
			if !end(side) {
				return nil, false
			}
		}
	}
	if rising && len(found) < most {
		if side, ok := w.sideOver(w.f, leg{rise.to, rise.to}, c, sign); !ok || !end(side) {
			return nil, false
		}
	}
	return found, true
}

// narrowed is a leg over which the sum goes from below zero to above it, cut to where the sum may be zero at some travel.
func (w *wholeOf) narrowed(l leg, c *tube.Cell, sign float64) leg {
	halved := func(from float64, before func(side int) bool) leg {
		lo, hi := from, l.to
		for range placeSteps {
			m := lo + (hi-lo)/2
			if side, _ := w.sideOver(w.f, leg{m, m}, c, sign); before(side) {
				lo = m
			} else {
				hi = m
			}
		}
		return leg{lo, hi}
	}
	below := halved(l.from, func(side int) bool { return side < 0 }).from // up to there it is surely below
	return leg{below, halved(below, func(side int) bool { return side <= 0 }).to}
}

// turningPlace encloses the place at which the sum is least (sign 1) or greatest (-1). Elsewhere it is surely no better
// than at one turn, or its rate is surely not zero.
func (w *wholeOf) turningPlace(c *tube.Cell, sign float64) wholeModel {
	s, ok := w.middle(c, sign, w.tolerance)
	t := w.f.tubes[0]
	if !ok || !t.Closes {
		return wholeModel{} // at the end of an open turn it may be least without turning there
	}
	at := s.best.At.Turn
	best, ok := w.bound(w.f, leg{at, at}, c)
	if !ok {
		return wholeModel{}
	}
	if sign < 0 {
		best.lo, best.hi = -best.hi, -best.lo
	}
	left := w.mayTurn(w.legs(), c, best.hi, sign)
	shrinks := true
	most := mostLegs
	if t.Space.Devs > 0 {
		most = mostSized
	}
	for len(left) > 0 && left[0].to-left[0].from > shortestLeg && (len(left) < most || left[0].to-left[0].from > widestLeg) {
		if place, ok := w.soon(w.by, left, c); ok {
			return place
		}
		if one, ok := w.oneLeg(left); ok && shrinks && one.to-one.from < widestLeg {
			if one, shrinks = w.shrunk(one, c); shrinks {
				left = []leg{one}
				continue
			}
		}
		var halves []leg
		for _, l := range left {
			halves = append(halves, leg{l.from, l.mid()}, leg{l.mid(), l.to})
		}
		left = w.mayTurn(halves, c, best.hi, sign)
	}
	if len(left) == 0 || w.budget < 0 {
		return wholeModel{}
	}
	all, ok := w.oneLeg(left)
	if !ok {
		return wholeModel{}
	}
	return w.followed(w.by, all, c)
}

// shrinksBy is the factor by which one step tries to shrink a leg.
const shrinksBy = 1000

// shrunk is the part of a leg about where the rate is zero at its middle travels, if the rate surely has no zero in the
// rest.
func (w *wholeOf) shrunk(l leg, c *tube.Cell) (leg, bool) {
	a, ok1 := w.bound(w.by, leg{l.from, l.from}, c)
	b, ok2 := w.bound(w.by, leg{l.to, l.to}, c)
	from, to := a.lo+a.hi, b.lo+b.hi
	if !ok1 || !ok2 || !(from*to < 0) {
		return l, false
	}
	long := l.to - l.from
	at := l.from + long*from/(from-to)
	one := leg{math.Max(l.from, at-long/shrinksBy), math.Min(l.to, at+long/shrinksBy)}
	for _, rest := range [2]leg{{l.from, one.from}, {one.to, l.to}} {
		if r, ok := w.bound(w.by, rest, c); rest.from < rest.to && (!ok || r.side() == 0) {
			return l, false
		}
	}
	return one, true
}

// soonLeg is the length of a leg from which a place may be followed before the leg is as short as possible, rad.
const soonLeg = 0.01

// soon is a place in legs that are not yet as short as possible, where following it encloses it as closely.
func (w *wholeOf) soon(f *Figure, legs []leg, c *tube.Cell) (wholeModel, bool) {
	if len(legs) == 0 || legs[0].to-legs[0].from > soonLeg {
		return wholeModel{}, false
	}
	all, ok := w.oneLeg(legs)
	if !ok {
		return wholeModel{}, false
	}
	line, ok := w.alongLine(f, all, c)
	return wholeModel{line, true}, ok && line.Rad <= shortestLeg
}

// oneLeg joins legs that follow one another, also over the start of the turn where that makes no difference.
func (w *wholeOf) oneLeg(legs []leg) (all leg, ok bool) {
	gap := 0
	for i := 1; i < len(legs); i++ {
		if legs[i].from > legs[i-1].to {
			if gap > 0 {
				return all, false
			}
			gap = i
		}
	}
	n := len(legs)
	if gap == 0 {
		return leg{legs[0].from, legs[n-1].to}, true
	}
	t := w.f.tubes[0]
	turn := t.Turn.To - t.Turn.From
	return leg{legs[gap].from - turn, legs[gap-1].to}, w.round && legs[n-1].to-turn >= legs[0].from
}

// mayTurn lists those of some legs in which the sum may be least (sign 1) or greatest (-1): its bounds reach best, and
// its rate may be zero.
func (w *wholeOf) mayTurn(legs []leg, c *tube.Cell, best, sign float64) (left []leg) {
	for _, l := range legs {
		if b, ok := w.bound(w.f, l, c); ok && b.least(sign) > best {
			continue
		}
		if r, ok := w.bound(w.by, l, c); ok && r.side() != 0 {
			continue
		}
		left = append(left, l)
	}
	return left
}

// atPlace encloses the sum at a place of the turn.
func (w *wholeOf) atPlace(c *tube.Cell) wholeModel {
	t := w.f.tubes[0]
	place := tube.Series{Poly: make([]float64, t.Space.N)}
	place.Poly[0] = w.place
	if w.by != nil {
		i, p, ok := w.oneBox(leg{t.Turn.From, t.Turn.From}, c)
		if !ok {
			return wholeModel{}
		}
		if place, ok = w.by.run[0].Over(i, &p); !ok || w.by.run[0].Doubt() {
			return wholeModel{}
		}
		place.Poly = slices.Clone(place.Poly)
	}
	place.Poly[0] = w.within(place.Poly[0])
	reach := place.Rad + taylor.SizeOf(place.Poly[1:])
	l := leg{place.Poly[0] - reach, place.Poly[0] + reach}
	if !t.Closes && (l.from < t.Turn.From || l.to > t.Turn.To) {
		return wholeModel{}
	}
	line, ok := w.atLine(&place, l, c)
	far := 0.0
	if ok {
		far = line.Rad + taylor.SizeOf(line.Poly[1:])
	}
	if _, _, one := w.oneBox(l, c); ok && (one || line.Rad <= straightest*far) {
		return wholeModel{line, true}
	}
	if l.to > t.Turn.To { // in a closed turn, it is at the start as well
		l.from, l.to = l.from-(t.Turn.To-t.Turn.From), l.to-(t.Turn.To-t.Turn.From)
	}
	b, bounded := w.bound(w.f, l, c)
	v := tube.Series{Poly: make([]float64, t.Space.N), Rad: (b.hi-b.lo)/2 + slip*(math.Abs(b.lo)+math.Abs(b.hi))}
	v.Poly[0] = b.lo + (b.hi-b.lo)/2
	if ok && !(bounded && v.Rad <= far) { // the bare range is no wider than far where the sum has an extreme within the leg
		return wholeModel{line, true}
	}
	return wholeModel{v, bounded}
}

// straightest is the greatest radius of a line, as a share of the sum's range, at which the range itself is not tried.
const straightest = 1.0 / 16

// within brings a place into a closed turn.
func (w *wholeOf) within(at float64) float64 {
	t := w.f.tubes[0]
	if turn := t.Turn.To - t.Turn.From; t.Closes {
		return at - turn*math.Floor((at-t.Turn.From)/turn)
	}
	return at
}
