package clearance

import (
	"context"

	"barover/solver/expr"
	"barover/solver/taylor"
)

// SortSum tells engines apart by a sum as LeastSum bounds it: one whose sum is nowhere below keeps surely holds, one whose sum is somewhere
// below falls is surely short. Where the place may lie outside of an engine's own travels, only the first is told.
func (o *Over) SortSum(ctx context.Context, sum, less expr.ID, sign, keeps, falls float64) (*Sorting, error) {
	s, open, err := o.sumOver(ctx, sum, less, sign)
	if err != nil {
		return nil, err
	}
	most := mostSorted
	if s.wholes {
		most = mostWholes
	}
	parts, ok := o.sorted(open, most, func(n overNode) (sortable, bool, bool) {
		v, ok := s.run[n.tube].OverFiner(n.box, &n.part, n.cell.anew)
		if !ok || s.run[n.tube].Doubt() {
			return sortable{}, false, false
		}
		p := sortable{sortedPart: sortedPart{node: n, poly: make([]float64, len(v.Poly)), rad: v.Rad}}
		for i, c := range v.Poly {
			p.poly[i] = sign * c
		}
		lo, tau, dev := o.space.LeastOf(p.poly, o.disc)
		if lo -= v.Rad; lo >= keeps {
			return p, false, true
		}
		p.node.lo, p.node.wide, p.node.widest = lo, 2*v.Rad, o.space.Foremost(p.poly)
		p.slack = o.space.ValueOf(p.poly, &tau, dev) + v.Rad - lo
		line := o.below(o.space, p.poly, o.disc)
		p.set.add(&line, v.Rad, keeps)
		p.lines = p.set.lines
		return p, true, true
	})
	if !ok {
		return nil, SumOpen
	}
	return newSorting(o.space.Devs, keeps, falls, parts, func() judge { return (*judgeSum)(o) }), ctx.Err()
}

// SortStill tells engines apart by a polynomial in the sizes alone and its radius.
func SortStill(sp *taylor.Space, disc []bool, poly []float64, rad, keeps, falls float64) *Sorting {
	o := &Over{space: sp, disc: disc}
	var set lineSet
	line := sp.LineBelow(poly, disc)
	set.add(&line, rad, keeps)
	return newSorting(sp.Devs, keeps, falls, []sortedPart{{lines: set.lines, poly: poly, rad: rad}}, func() judge { return (*judgeSum)(o) })
}

// judgeSum looks at the sum of one engine.
type judgeSum Over

func (o *judgeSum) at(p *sortedPart, dev []float64, _, _ float64) (lo, hi float64) {
	lo, tau, with := o.space.LeastWith(p.poly, dev, o.disc)
	size := taylor.SizeOf(p.poly)
	return lo - p.rad, o.space.ValueOf(p.poly, &tau, with) + p.rad + slip*size
}
