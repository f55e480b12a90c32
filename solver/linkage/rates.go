package linkage

import (
	"math"

	"barover/solver/expr"
	"barover/solver/position"
	"barover/solver/schedule"
)

// stand puts a state into a pose that was solved before, without solving it again.
func (l *Linkage) stand(e *position.State, p *Pose) {
	s := l.s
	e.Set(p.Turn, p.Travel)
	for i, z := range s.Point {
		e.Z[z] = p.Point[i].Sub(e.Scale.Origin)
	}
	for i, z := range s.Part {
		e.Z[z] = p.Part[i].Dir
	}
	for i, z := range s.Line {
		e.Z[z] = p.Line[i].Dir
	}
	for i := range s.Steps {
		ops := s.Steps[i].Ops
		for j := range ops {
			op := &ops[j]
			switch op.Kind {
			case schedule.OpFree:
				e.X[op.S], e.X[op.S+1] = e.Z[op.Z].X, e.Z[op.Z].Y
			case schedule.OpSlide:
				d := e.Z[op.D]
				e.X[op.S] = e.Z[op.Z].Sub(e.Z[op.P]).Dot(d) / d.Dot(d)
			default:
				e.Z[op.Z] = op.Value(e.C, e.Z, e.X)
			}
		}
	}
}

// standing returns a state in a solved pose. The blocks that turn back there have no derivatives. The caller gives it back with
// moved.
func (l *Linkage) standing(p *Pose) *position.State {
	e := l.borrow()
	l.stand(e, p)
	e.Folded = p.folded
	return e
}

// moving is standing with memory for rates.
func (l *Linkage) moving(p *Pose) *position.State {
	e := l.standing(p)
	if e.Acceleration == nil {
		e.Acceleration = position.NewAcceleration(e)
	}
	return e
}

// moved takes back a state that standing or moving returned.
func (l *Linkage) moved(e *position.State) {
	e.Folded = nil
	l.pool.Put(e)
}

// Rates computes the rates of the points by the turn at a solved pose, with the travels fixed. It writes them to c: DX and DY
// (mm/rad), DDX and DDY (mm/rad²), in the slices there if they are long enough. On a dead centre at which the motion ends
// they are NaN.
func (mo *Motion) Rates(p *Pose, c *expr.Context) {
	l := mo.l
	e := l.moving(p)
	defer l.moved(e)
	b := e.Acceleration
	b.Find(e)
	n := len(l.s.Point)
	c.DX, c.DY, c.DDX, c.DDY = sized(c.DX, n), sized(c.DY, n), sized(c.DDX, n), sized(c.DDY, n)
	for i, z := range l.s.Point {
		c.DX[i], c.DY[i] = b.Speed.Z[z].X, b.Speed.Z[z].Y
		c.DDX[i], c.DDY[i] = b.Z[z].X, b.Z[z].Y
	}
}

// Speeds fills DX and DY alone: at half the cost of Rates.
func (mo *Motion) Speeds(p *Pose, c *expr.Context) {
	l := mo.l
	e := l.moving(p)
	defer l.moved(e)
	v := e.Acceleration.Speed
	e.Velocity(v, 1, nil, math.MaxInt)
	c.DX, c.DY = sized(c.DX, len(l.s.Point)), sized(c.DY, len(l.s.Point))
	for i, z := range l.s.Point {
		c.DX[i], c.DY[i] = v.Z[z].X, v.Z[z].Y
	}
}
