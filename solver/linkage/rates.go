package linkage

import (
	"math"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// stand puts a workspace into a pose that was solved before, without solving it again.
func (l *Linkage) stand(e *workspace, p *Pose) {
	s := l.s
	e.set(p.Turn, p.Travel)
	for i, z := range s.Point {
		e.z[z] = p.Point[i].Sub(e.scale.origin)
	}
	for i, z := range s.Part {
		e.z[z] = p.Part[i].Dir
	}
	for i, z := range s.Line {
		e.z[z] = p.Line[i].Dir
	}
	for i := range s.Steps {
		ops := s.Steps[i].Ops
		for j := range ops {
			op := &ops[j]
			switch op.Kind {
			case schedule.OpFree:
				e.x[op.S], e.x[op.S+1] = e.z[op.Z].X, e.z[op.Z].Y
			case schedule.OpSlide:
				d := e.z[op.D]
				e.x[op.S] = e.z[op.Z].Sub(e.z[op.P]).Dot(d) / d.Dot(d)
			default:
				e.z[op.Z] = op.Value(e.c, e.z, e.x)
			}
		}
	}
}

// Rates fills the rates of the points by the turn, travels held, into c at a solved pose: DX and DY (mm/rad), DDX and DDY
// (mm/rad²), in place where they are long enough. On a dead centre they are no numbers.
func (l *Linkage) Rates(p *Pose, c *expr.Context) {
	e := l.borrow()
	defer l.pool.Put(e)
	l.stand(e, p)
	if e.bend == nil {
		e.bend = newBender(e)
	}
	b := e.bend
	b.bend(e)
	n := len(l.s.Point)
	c.DX, c.DY, c.DDX, c.DDY = long(c.DX, n), long(c.DY, n), long(c.DDX, n), long(c.DDY, n)
	for i, z := range l.s.Point {
		c.DX[i], c.DY[i] = b.v.z[z].X, b.v.z[z].Y
		c.DDX[i], c.DDY[i] = b.z[z].X, b.z[z].Y
	}
}

// Speeds fills DX and DY alone: at half the cost of Rates.
func (l *Linkage) Speeds(p *Pose, c *expr.Context) {
	e := l.borrow()
	defer l.pool.Put(e)
	l.stand(e, p)
	if e.bend == nil {
		e.bend = newBender(e)
	}
	v := e.bend.v
	e.velocity(v, 1, nil, math.MaxInt)
	c.DX, c.DY = long(c.DX, len(l.s.Point)), long(c.DY, len(l.s.Point))
	for i, z := range l.s.Point {
		c.DX[i], c.DY[i] = v.z[z].X, v.z[z].Y
	}
}

// long is a list of n numbers at least: s itself where it is as long.
func long(s []float64, n int) []float64 {
	if len(s) < n {
		return make([]float64, n)
	}
	return s
}

// Speeds does what Linkage.Speeds does.
func (mo *Motion) Speeds(p *Pose, c *expr.Context) { mo.l.Speeds(p, c) }

// Rates does what Linkage.Rates does.
func (mo *Motion) Rates(p *Pose, c *expr.Context) { mo.l.Rates(p, c) }

// bender finds how speeds change: second derivatives by the turn, from those of every op and row along the motion.
type bender struct {
	v *speed
	c schedule.Coefs // second derivatives of the coefficients
	z []plane.Vec    // of the places
	x []float64      // of the scalars
}

func newBender(e *workspace) *bender {
	return &bender{v: newSpeed(e), c: make(schedule.Coefs, len(e.c)), z: make([]plane.Vec, len(e.z)), x: make([]float64, len(e.x))}
}

// bend fills the first and second derivatives at where e stands.
func (b *bender) bend(e *workspace) {
	e.velocity(b.v, 1, nil, math.MaxInt)
	for i, id := range e.p.driven {
		b.c[id] = b.v.jet[i][2]
	}
	k := 0
	for i := range e.s.Steps {
		step := &e.s.Steps[i]
		if len(step.Scalars) == 0 {
			b.drift(e, step)
			continue
		}
		m := e.room[k]
		k++
		for _, s := range step.Scalars {
			b.x[s] = 0
		}
		b.drift(e, step)
		q := e.balanced(step, m)
		if q != nil {
			q.against(func(r *schedule.Row) float64 { return b.row(e, r) }, nil)
		}
		for j, s := range step.Scalars {
			b.x[s] = math.NaN()
			if q != nil {
				b.x[s] = q.m.r[j]
			}
		}
		b.drift(e, step)
	}
}

func (b *bender) drift(e *workspace, step *schedule.Step) {
	for i := range step.Ops {
		b.z[step.Ops[i].Z] = b.op(e, &step.Ops[i])
	}
}
