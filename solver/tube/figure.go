package tube

import (
	"barover/solver/expr"
	"barover/solver/taylor"
)

// Figure is a sum of the points, the turn and the travels, ready for enclosures on the boxes of a Plan's tubes.
type Figure struct {
	Sum  expr.ID
	plan *Plan
	tape *taylor.Tape
	root slot
	in   []input
	run  []taylor.HeadingSlot
	// Wholes are the least, greatest and span in the sum: a Runner needs their values.
	Wholes []expr.ID
	whole  []slot
	rates  *rates // nil where the sum has no rate
	fast   []speed
}

// speed is a slot that the speed of a point fills, and its place on the tape of the rates.
type speed struct{ at, from slot }

// input is a slot that a box fills.
type input struct {
	at   slot
	kept int
}

// NewFigure puts a sum with these dimensions on a tape, less another; None for nothing. The dimensions may differ from the Plan's where
// its places do not depend on them. The error, a taylor.Unenclosed, says what in it has no enclosure.
func NewFigure(p *Plan, v *expr.Values, sum, less expr.ID) (*Figure, error) {
	b := taylor.NewBuilder()
	f := &Figure{Sum: sum, plan: p}
	points := map[int]pair{}
	c := taylor.Compiler{Builder: b, Values: v, Sizes: p.Params()}
	c.Point = func(i int) (x, y slot, ok bool) {
		if z, done := points[i]; done {
			return z.x, z.y, true
		}
		from := p.at(p.Schedule.Point[i])
		if from.x == none {
			return none, none, false
		}
		z := pair{b.Input(), b.Input()}
		points[i] = z
		f.in = append(f.in, input{z.x, p.kept[from.x]}, input{z.y, p.kept[from.y]})
		return z.x, z.y, true
	}
	c.Whole = func(id expr.ID) (slot, error) {
		s := b.Input()
		f.Wholes, f.whole = append(f.Wholes, id), append(f.whole, s)
		return s, nil
	}
	if deep := p.Values.Graph.Rates(sum); deep > 0 && deep <= expr.Deepest {
		c.Rate = f.speeds(p, b, deep)
	}
	root, err := c.Difference(sum, less)
	if err != nil {
		return nil, err
	}
	f.root, f.tape, f.run = root, &b.Tape, c.Headings()
	return f, nil
}

// speeds prepares the rates, as deeply as they are nested, and returns where a tape finds the motion of a point; nil
// where that cannot be enclosed.
func (f *Figure) speeds(p *Plan, b *taylor.Builder, deep int) func(i, order int) (x, y slot, ok bool) {
	r, ok := newRates(p, deep)
	if !ok {
		return nil
	}
	f.rates = r
	made := make([]map[int]pair, deep)
	return func(i, order int) (x, y slot, ok bool) {
		from := r.point[order-1][i]
		if from.x == none {
			return none, none, false
		}
		z, done := made[order-1][i]
		if !done {
			z = pair{b.Input(), b.Input()}
			if made[order-1] == nil {
				made[order-1] = map[int]pair{}
			}
			made[order-1][i] = z
			f.fast = append(f.fast, speed{z.x, from.x}, speed{z.y, from.y})
		}
		return z.x, z.y, true
	}
}
