package engine

import (
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/plane"
	"barover/solver/position"
	"barover/solver/schedule"
)

// pull says how a figure depends on one position: its derivative by the coordinates of each point, and by the sums that
// it takes directly (a part's heading, a corner's coordinate, the sum itself).
type pull struct {
	x, y  []float64
	seeds []expr.Seed
}

// Puller is a figure that knows its pull at a position. It returns false where that is not known.
type Puller interface {
	Figure
	pull(s *Station) (*pull, bool)
}

func (m *Engine) newPull() *pull {
	n := len(m.Problem.Linkage.Points)
	return &pull{x: make([]float64, n), y: make([]float64, n)}
}

func (p *pull) point(i int, w plane.Vec) { p.x[i] += w.X; p.y[i] += w.Y }

func (p *pull) sum(id expr.ID, w float64) {
	if id != expr.None && w != 0 {
		p.seeds = append(p.seeds, expr.Seed{Node: id, Weight: w})
	}
}

// place adds a figure's derivative w by a place that is fixed on part i, at a in the frame.
func (m *Engine) place(p *pull, i int, a, w plane.Vec, pose *linkage.Pose) {
	part := &m.Problem.Linkage.Parts[i]
	if part.Kind == schedule.Frame {
		return
	}
	p.point(part.P, w)
	torque := a.Sub(pose.Part[i].Origin).Cross(w) // the derivative by the part's heading
	switch part.Kind {
	case schedule.FromTo:
		p.turned(part.P, part.Q, torque, pose)
		p.sum(part.Heading, -torque)
	case schedule.AlongLine:
		if line := &m.Problem.Linkage.Lines[part.Line]; line.Q >= 0 {
			p.turned(line.P, line.Q, torque, pose)
		} else {
			p.sum(line.Heading, torque)
		}
	case schedule.AtHeading:
		p.sum(part.Heading, torque)
	}
}

// turned adds a derivative by the heading from a to b.
func (p *pull) turned(a, b int, torque float64, pose *linkage.Pose) {
	d := pose.Point[b].Sub(pose.Point[a])
	w := d.Turned().Scale(torque / d.Dot(d))
	p.point(b, w)
	p.point(a, w.Scale(-1))
}

// Gradient returns the derivative of a figure at turn t of a run by each dimension, and after them by each travel, with
// the turn held. It goes backward: from the figure to the points, from the points through the linkage's equations to
// their constants, and from those through the sums to the dimensions. A least, greatest or span contributes its sum's
// gradient at the place where it has that value, since moving that place changes nothing to first order. For places see
// addPlace.
func (r *Run) Gradient(f Puller, t float64) ([]float64, bool) {
	s := r.Engine.NewStation()
	if !r.Stand(t, s) {
		return nil, false
	}
	p, ok := f.pull(s)
	if !ok {
		return nil, false
	}
	return r.byDimension(p, s)
}

func (r *Run) byDimension(p *pull, s *Station) ([]float64, bool) {
	g, points := r.Engine.Problem.Graph, len(s.pose.Point)
	eval := expr.NewEval(r.Engine.Values)
	grad := expr.NewGradient(g, points, len(r.Travel))
	grad.Whole = make([]float64, len(g.Wholes))
	if !eval.Backward(p.seeds, &s.sums, grad) {
		return nil, false
	}
	for i := range p.x {
		grad.X[i] += p.x[i]
		grad.Y[i] += p.y[i]
	}
	seeds, ok := r.Engine.Linkage.Adjoint(&s.pose, grad.X, grad.Y)
	if !ok {
		return nil, false
	}
	through := expr.NewGradient(g, points, len(r.Travel))
	if !eval.Backward(seeds, &s.sums, through) {
		return nil, false
	}
	for i, v := range through.Dim {
		grad.Dim[i] += v
	}
	for k, v := range through.Travel {
		grad.Travel[k] += v
	}
	out := append(grad.Dim, grad.Travel...)
	for k, w := range grad.Whole {
		if w != 0 && !r.addWhole(out, k, w) {
			return nil, false
		}
	}
	return out, position.AllNumbers(out)
}

// addWhole adds w times the gradient of one operation over the whole turn.
func (r *Run) addWhole(sum []float64, k int, w float64) bool {
	n := r.Engine.Problem.Graph.Nodes[r.Engine.Problem.Graph.Wholes[k]]
	if n.Op.IsPlace() || n.Op == expr.AtPlace {
		return r.addPlace(sum, &n, w)
	}
	f := r.Engine.Sum(n.A)
	c := r.Trace(f, Both)
	if n.Op != expr.Greatest {
		lo, found := c.Least()
		sign := plane.Sign(n.Op != expr.Span)
		if !found || !r.addGradient(sum, f, lo.T, sign*w) {
			return false
		}
	}
	if n.Op != expr.Least {
		hi, found := c.Greatest()
		return found && r.addGradient(sum, f, hi.T, w)
	}
	return true
}

// addGradient adds w times the gradient of a figure at a turn.
func (r *Run) addGradient(sum []float64, f Figure, t, w float64) bool {
	g, ok := r.Gradient(f.(Puller), t)
	for i := range g {
		sum[i] += w * g[i]
	}
	return ok
}

// pull says how the distance depends on the pose and on the outlines at the position s. It is not known where a depth
// beside holes lies on no line of either outline.
func (f *PairFigure) pull(s *Station) (*pull, bool) {
	n := f.Near(s)
	p := f.m.newPull()
	f.m.place(p, f.PartA, n.P, n.Normal.Scale(-1), &s.pose)
	f.m.place(p, f.PartB, n.Q, n.Normal, &s.pose)
	a, b := s.pose.Part[f.PartA], s.pose.Part[f.PartB]
	p.seeds = f.a.Seeds(p.seeds, n.A, a.In(n.P), n.Normal.Against(a.Dir), -1)
	p.seeds = f.b.Seeds(p.seeds, n.B, b.In(n.Q), n.Normal.Against(b.Dir), 1)
	return p, !n.Rough
}

func (f *sumFigure) pull(*Station) (*pull, bool) {
	p := new(pull)
	p.sum(f.id, 1)
	p.sum(f.less, -1)
	return p, true
}

func (f *missFigure) pull(s *Station) (*pull, bool) {
	n := len(s.pose.Point)
	p := &pull{x: make([]float64, n), y: make([]float64, n)}
	u := s.pose.Point[f.q].Sub(s.pose.Point[f.p]).Unit()
	p.point(f.q, u)
	p.point(f.p, u.Scale(-1))
	p.sum(f.want.id, -1)
	return p, true
}
