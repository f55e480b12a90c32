package tube

import (
	"math"

	"barover/solver/expr"
	"barover/solver/taylor"
)

// Figure is a sum of the points, the turn and the travels, made ready for enclosures on the boxes of a Plan's tubes.
type Figure struct {
	Sum  expr.ID
	plan *Plan
	tape *taylor.Tape
	root slot
	in   []input
	run  []taylor.HeadingSlot
}

// input is a slot that a box fills.
type input struct {
	at   slot
	kept int
}

// NewFigure puts a sum on a tape. The error, a taylor.Unenclosed, says what in it has no enclosure.
func NewFigure(p *Plan, sum expr.ID) (*Figure, error) {
	b := taylor.NewBuilder()
	f := &Figure{Sum: sum, plan: p}
	points := map[int]pair{}
	c := taylor.Compiler{Builder: b, Values: p.Values}
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
	root, err := c.Sum(sum)
	if err != nil {
		return nil, err
	}
	f.root, f.tape, f.run = root, &b.Tape, c.Headings()
	return f, nil
}

// Runs reports whether the sum takes a heading that runs on, so that its value depends on the way there.
func (f *Figure) Runs() bool { return len(f.run) > 0 }

// Part is a part of a box in its own coordinates: from Mid - Half to Mid + Half, each within [-1, 1].
type Part struct{ Mid, Half [taylor.MaxVars]float64 }

// Full is the whole of a box.
func Full() (p Part) {
	for k := range p.Half {
		p.Half[k] = 1
	}
	return p
}

// Across is the part of a box at one travel setting, over all of the box's turn. It reports false if the setting is not in
// the box.
func (t *Tube) Across(b *Box, travel []float64) (p Part, ok bool) {
	for j, r := range b.Travel {
		if r.To > r.From && !(travel[j] >= r.From && travel[j] <= r.To) {
			return p, false
		}
	}
	p.Mid = t.local(b, b.Turn.Mid(), travel)
	p.Mid[0], p.Half[0] = 0, 1
	return p, true
}

// Position gives the turn and the travels at a place of a part of a box.
func (t *Tube) Position(b *Box, p *Part, tau *[taylor.MaxVars]float64) (turn float64, travel []float64) {
	travel = make([]float64, len(b.Travel))
	for j := range b.at.Mid {
		v := b.at.Mid[j]
		r := b.Turn
		if j > 0 {
			r = b.Travel[j-1]
		}
		for k := range t.vary {
			v += b.at.Half[j][k] * (p.Mid[k] + p.Half[k]*tau[k])
		}
		v = math.Min(math.Max(v, r.From), r.To)
		if j == 0 {
			turn = v
		} else {
			travel[j-1] = v
		}
	}
	return turn, travel
}

// Runner evaluates a Figure on the boxes of one Tube. Give each goroutine its own.
type Runner struct {
	fig  *Figure
	tube *Tube
	st   *taylor.State
	box  taylor.Box
}

// NewRunner prepares to evaluate f on the boxes of t.
func NewRunner(f *Figure, t *Tube) *Runner {
	r := &Runner{fig: f, tube: t, st: taylor.NewState(f.tape, t.Space)}
	n := 1 + len(t.Travel)
	r.box = taylor.Box{Mid: make([]float64, n), Half: make([][taylor.MaxVars]float64, n), Off: make([]float64, n)}
	return r
}

// Over encloses the sum over a part of a box. It reports false where it cannot be enclosed there.
func (r *Runner) Over(b *Box, p *Part) (Series, bool) {
	n := r.tube.Space.N
	for _, in := range r.fig.in {
		lost := r.tube.Space.Shift(r.st.Poly(in.at), b.poly[in.kept*n:in.kept*n+n], &p.Mid, &p.Half)
		r.st.SetRad(in.at, b.rad[in.kept]+lost)
	}
	r.place(b, p)
	end := slot(r.fig.tape.Len())
	r.st.Place(&r.box, 0, end)
	if !r.st.Fill(0, end) {
		return Series{}, false
	}
	return Series{r.st.Poly(r.fig.root), r.st.Rad(r.fig.root)}, true
}

// place puts the part of the box in: the parameters must be where the points are, so what floats lose on the way is told
// as what they may be off.
func (r *Runner) place(b *Box, p *Part) {
	for j := range b.at.Mid {
		mid, size := b.at.Mid[j], math.Abs(b.at.Mid[j])
		for k := range r.tube.vary {
			h := b.at.Half[j][k]
			mid += h * p.Mid[k]
			r.box.Half[j][k] = h * p.Half[k]
			size += math.Abs(h)
		}
		r.box.Mid[j] = mid
		r.box.Off[j] = size * 0x1p-50
	}
}
