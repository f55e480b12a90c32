package tube

import (
	"math"

	"barover/solver/taylor"
)

// Runner evaluates a Figure on the boxes of one Tube. Give each goroutine its own.
type Runner struct {
	fig  *Figure
	tube *Tube
	st   *taylor.State
	box  taylor.Box
	base [][]float64 // of each box, where each running heading stands at its centre
}

// NewRunner prepares to evaluate f on the boxes of t. It reports false if a heading that runs on cannot be followed from
// box to box.
func NewRunner(f *Figure, t *Tube) (*Runner, bool) {
	r := &Runner{fig: f, tube: t, st: taylor.NewState(f.tape, t.Space)}
	n := 1 + len(t.Travel)
	r.box = taylor.Box{Mid: make([]float64, n), Half: make([][taylor.MaxVars]float64, n), Off: make([]float64, n)}
	return r, len(f.run) == 0 || r.follow()
}

// SetWhole tells the runner that the k-th of the Figure's Wholes lies between lo and hi.
func (r *Runner) SetWhole(k int, lo, hi float64) {
	s := r.fig.whole[k]
	r.st.Clear(s)
	r.st.Poly(s)[0] = lo + (hi-lo)/2
	r.st.SetRad(s, (hi-lo)/2*(1+0x1p-50)+(math.Abs(lo)+math.Abs(hi))*0x1p-52)
}

// Over encloses the sum over a part of box i. It reports false where it cannot be enclosed there.
func (r *Runner) Over(i int, p *Part) (Series, bool) {
	b := &r.tube.Boxes[i]
	for k := range r.base {
		r.st.Near(r.fig.run[k].Slot, r.base[k][i])
	}
	r.place(b, p)
	if !r.st.Fill(0, slot(r.fig.tape.Len())) {
		return Series{}, false
	}
	return Series{r.st.Poly(r.fig.root), r.st.Rad(r.fig.root)}, true
}

// place puts the part of the box in: the points, and the parameters where the points have them. What floats lose on the way
// is told as what they may be off.
func (r *Runner) place(b *Box, p *Part) {
	n := r.tube.Space.N
	for _, in := range r.fig.in {
		lost := r.tube.Space.Shift(r.st.Poly(in.at), b.poly[in.kept*n:in.kept*n+n], &p.Mid, &p.Half)
		r.st.SetRad(in.at, b.rad[in.kept]+lost)
	}
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
	r.st.Place(&r.box, 0, slot(r.fig.tape.Len()))
}
