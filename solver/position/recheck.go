package position

import (
	"math"

	"barover/solver/plane"
	"barover/solver/schedule"
)

// A small residual in the blocks is no proof that the sketch is met: elimination may be wrong. So every statement is
// checked again at every position, in its own form. What does not move is checked once, at the start.

// checkKind is the form of a check.
type checkKind uint8

const (
	checkRow     checkKind = iota // in general
	checkLength                   // |a − b|² = l²
	checkLine                     // c × (a − b) = 0
	checkHeading                  // c × (b − a) = 0 and c·(b − a) > 0
	checkMul                      // c = a + k·b
	checkLerp                     // c = a + k·(b − a)
	checkNumber                   // a is a number: it is made from exactly what the row asks
)

// check is one row of the whole sketch, or two where the row is a place.
type check struct {
	kind    checkKind
	a, b, c int32
	k       plane.Vec
	l2      float64 // l²
	tol     float64 // mm; checkLength: mm², 2l times as much
	row     *schedule.Row
}

// check adds the check of a row, unless nothing in it moves or it only repeats how a place was made.
func (b *programmer) check(r *schedule.Row) {
	k := check{row: r, a: int32(r.P), b: int32(r.Q), c: int32(r.D), tol: b.scale.Holds()}
	moving := !b.constant(r.V)
	for _, z := range r.Places() {
		moving = moving || z != schedule.Nowhere && !b.still[z]
	}
	if !moving {
		return
	}
	switch r.Kind {
	case schedule.RowLength:
		if b.constant(r.V) {
			l := b.p.coef.At(r.V)
			k.kind, k.l2, k.tol = checkLength, l*l, 2*l*k.tol
		}
	case schedule.RowLine:
		k.kind = checkLine
	case schedule.RowHeading:
		k.kind, k.c = checkHeading, b.turn(r.V)
	case schedule.RowAim, schedule.RowUnit:
		if b.s.OpAt[r.D].Kind != schedule.OpFree {
			return
		}
	case schedule.RowX, schedule.RowY:
		if r.Op.Kind == schedule.OpHeading {
			return
		}
		if both := b.checkPlace(&k, r); both && r.Kind == schedule.RowY {
			return
		}
	}
	b.p.checks = append(b.p.checks, k)
}

// checkPlace looks at both parts of a place at once, where the op is one of the usual ones.
func (b *programmer) checkPlace(k *check, r *schedule.Row) bool {
	if r.Op.Kind == schedule.OpAt && b.s.OpAt[r.Op.Z] == *r.Op {
		k.kind, k.a = checkNumber, int32(r.Op.Z)
		return true
	}
	m := b.move(r.Op)
	switch m.kind {
	case moveMul:
		k.kind = checkMul
	case moveLerp:
		k.kind = checkLerp
	default:
		return false
	}
	k.a, k.b, k.c, k.k = m.a, m.b, m.z, m.k
	return true
}

// holds reports whether every row of the sketch is met. It is false for a place that is NaN.
func (p *Program) holds(c schedule.Coefs, z []plane.Vec, size float64) bool {
	for i := range p.checks {
		k := &p.checks[i]
		var off float64
		switch k.kind {
		case checkLength:
			a, b := z[k.a], z[k.b]
			dx, dy := a.X-b.X, a.Y-b.Y
			off = dx*dx + dy*dy - k.l2
		case checkLine:
			off = z[k.c].Cross(z[k.a].Sub(z[k.b]))
		case checkHeading:
			d, u := z[k.b].Sub(z[k.a]), z[k.c]
			if !(u.Dot(d) > 0) {
				return false
			}
			off = u.Cross(d)
		case checkMul:
			d := z[k.a].Add(k.k.Times(z[k.b])).Sub(z[k.c])
			off = math.Abs(d.X) + math.Abs(d.Y)
		case checkLerp:
			a := z[k.a]
			d := a.Add(k.k.Times(z[k.b].Sub(a))).Sub(z[k.c])
			off = math.Abs(d.X) + math.Abs(d.Y)
		case checkNumber:
			a := z[k.a]
			off = a.X - a.X + a.Y - a.Y
		default:
			if !k.row.Ahead(c, z) {
				return false
			}
			off = k.row.Off(c, z, size)
		}
		if !(math.Abs(off) <= k.tol) {
			return false
		}
	}
	return true
}
