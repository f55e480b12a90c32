package linkage

import (
	"math"
	"slices"
)

// On a change point the rows of a block do not hold its scalars. With one row left out and one scalar driven instead they
// do. The row left out then says by how much it must give on that branch.

// Stretch is a stretch of the turn about change points that a motion passes straight on.
type Stretch struct {
	From, To float64 // rad
	Eased    []Eased
}

// Eased is how a block crosses a change point.
type Eased struct {
	Stmt   int // the statement that gives
	Row    int // its row among those of the block
	Scalar int // of the Schedule, which is driven instead
}

// Stretches lists the stretches within half (rad) on either side of the change points of the motion; change points nearer
// together than that share one.
func (mo *Motion) Stretches(half float64) (out []Stretch) {
	if len(mo.turn) == 0 {
		return nil
	}
	var passed []Pass
	for i := range mo.changes {
		for _, p := range mo.changes[i].passed {
			if p.Play == 0 {
				passed = append(passed, p)
			}
		}
	}
	slices.SortFunc(passed, func(a, b Pass) int { return int(math.Copysign(1, a.Turn-b.Turn)) })
	for _, p := range passed {
		from, to := max(p.Turn-half, mo.turn[0]), min(p.Turn+half, mo.turn[len(mo.turn)-1])
		if !(from < to) {
			continue
		}
		n := len(out)
		if n == 0 || out[n-1].To < from {
			out = append(out, Stretch{From: from, To: to})
			n++
		}
		s := &out[n-1]
		s.To = max(s.To, to)
		if !slices.ContainsFunc(s.Eased, func(e Eased) bool { return e.Scalar == p.scalar }) {
			s.Eased = append(s.Eased, Eased{Stmt: p.Stmt, Row: p.row, Scalar: p.scalar})
		}
	}
	return out
}
