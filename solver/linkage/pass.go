package linkage

import "barover/solver/schedule"

// Pass is a change point that a motion passes, straight on, or one that the parts miss by little.
type Pass struct {
	Turn   float64 // rad
	Travel []float64
	Stmt   int     // the statement that misses
	Point  int     // a point of the Model that the block places, -1 for none
	Way    Way     // how rigid parts go on
	Miss   float64 // by how much the statement is too long to go straight on, mm
	Half   float64 // half of the stretch of the turn over which that tells, rad
}

// Way says how parts go on at a change point.
type Way uint8

// The ways.
const (
	Straight Way = iota // the miss is within what statements leave between them: straight on
	Swaps               // they turn sharply to the other way
	Locks               // they do not reach across
)

var wayNames = [...]string{"straight", "swaps", "locks"}

func (w Way) String() string { return wayNames[w] }

// passed describes a saddle on the road.
func (w *walker) passed(s *saddle) Pass {
	step := w.e.p.blocks[s.k].step
	p := Pass{Stmt: step.Rows[s.row].Stmt, Point: pointOf(w.e.s, step), Miss: s.off, Half: s.half()}
	f := s.at / w.r.length
	p.Turn = w.r.turn + f*w.r.dTurn
	for i, t := range w.r.travel {
		p.Travel = append(p.Travel, t+f*w.r.d[i])
	}
	return p
}

// pointOf is a point with a name that a step places, -1 if there is none.
func pointOf(s *schedule.Schedule, step *schedule.Step) int {
	for _, op := range step.Ops {
		if i := int(op.Z); i < len(s.Model.Points) && s.Named(i) {
			return i
		}
	}
	return -1
}
