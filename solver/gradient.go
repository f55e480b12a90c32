package solver

import (
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/plane"
)

// pull is how a figure depends on the pose of one position: its derivative by the coordinates of each point, and by sums
// that it takes directly (a part's heading, a corner's coordinate).
type pull struct {
	x, y  []float64
	seeds []expr.Seed
}

func (m *Machine) newPull() *pull {
	n := len(m.Problem.Linkage.Points)
	return &pull{x: make([]float64, n), y: make([]float64, n)}
}

func (p *pull) point(i int, w plane.Vec) { p.x[i] += w.X; p.y[i] += w.Y }

func (p *pull) sum(id expr.ID, w float64) {
	if id != expr.None && w != 0 {
		p.seeds = append(p.seeds, expr.Seed{Node: id, Weight: w})
	}
}

// place adds a figure's derivative w by a place that is fixed on part i and stands at a in the frame.
func (m *Machine) place(p *pull, i int, a, w plane.Vec, pose *linkage.Pose) {
	part := &m.Problem.Linkage.Parts[i]
	if part.Kind == linkage.Frame {
		return
	}
	p.point(part.P, w)
	torque := a.Sub(pose.Part[i].Origin).Cross(w) // the derivative by the part's heading
	switch part.Kind {
	case linkage.FromTo:
		p.turned(part.P, part.Q, torque, pose)
		p.sum(part.Heading, -torque)
	case linkage.AlongLine:
		if line := &m.Problem.Linkage.Lines[part.Line]; line.Q >= 0 {
			p.turned(line.P, line.Q, torque, pose)
		} else {
			p.sum(line.Heading, torque)
		}
	case linkage.AtHeading:
		p.sum(part.Heading, torque)
	}
}

// turned adds a derivative by the heading of q seen from p.
func (p *pull) turned(a, b int, torque float64, pose *linkage.Pose) {
	d := pose.Point[b].Sub(pose.Point[a])
	w := d.Turned().Scale(torque / d.Dot(d))
	p.point(b, w)
	p.point(a, w.Scale(-1))
}

// pull is how the distance depends on the pose and on the outlines at the position s.
func (f *pairFigure) pull(s *station) *pull {
	n := f.near(s)
	p := f.m.newPull()
	f.m.place(p, f.partA, n.p, n.normal.Scale(-1), &s.pose)
	f.m.place(p, f.partB, n.q, n.normal, &s.pose)
	return p
}
