package field

import (
	"cmp"
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/machine"
)

// decided is what came out for a cell.
type decided struct {
	cell   Cell
	looked int
}

// standing is what a check does in the middle of a cell.
type standing struct {
	check  int
	margin float64
	strays float64 // by how much the margin changes to a corner of the cell, by its slopes
	at     solver.Position
}

// boxesAllowed is how many boxes may be tried to enclose all engines of a cell at one setting: one that takes more is better halved.
const boxesAllowed = 400

// suspects is how many checks are tried to be shown short.
const suspects = 3

// decide shows what it can of a cell. Where that is nothing, and the cell may be halved, it returns its quarters.
func (s *search) decide(ctx context.Context, n node) (decided, []node, error) {
	out := decided{cell: n.cell, looked: 1}
	o := s.o
	o.Workers = 1
	m, err := s.machineAt(middle(&n.cell))
	if err != nil {
		return out, s.quarters(n), ctx.Err()
	}
	broken, err := m.FirstBreak(ctx)
	if err != nil || broken != nil {
		return out, s.quarters(n), err
	}
	found, err := s.stand(ctx, m, o, &n)
	if err != nil {
		return out, nil, err
	}
	if len(found) > 0 {
		out.cell.Check = found[0].check
	}
	out.cell.Middle = len(found) == 0 || found[0].margin >= 0
	switch {
	case out.cell.Middle && !s.plays && s.worthProving(found, &n.cell):
		n.asked, err = s.notProved(ctx, m, o, &n)
		if err == nil && len(n.asked) == 0 {
			out.cell.State, out.cell.Check = Holds, -1
		}
	case !out.cell.Middle:
		var check int
		if check, err = s.short(ctx, m, o, &n.cell, found); check >= 0 {
			out.cell.State, out.cell.Check = Short, check
		}
	}
	return out, s.quarters(n), err
}

// quarters are the four parts of a cell.
func (s *search) quarters(n node) (list []node) {
	mid := middle(&n.cell)
	for _, x := range [2]bool{false, true} {
		for _, y := range [2]bool{false, true} {
			c := Cell{From: n.cell.From, To: n.cell.To, Check: -1, level: n.cell.level + 1}
			for k, upper := range [2]bool{x, y} {
				if upper {
					c.From[k] = mid[k]
				} else {
					c.To[k] = mid[k]
				}
			}
			list = append(list, node{c, n.asked})
		}
	}
	return list
}

// stand answers the checks in the middle of a cell, the worst first: those that fall short, then by how little of their room the cell
// may leave them.
func (s *search) stand(ctx context.Context, m *machine.Machine, o machine.Options, n *node) ([]standing, error) {
	res, err := m.Some(ctx, o, n.asked)
	if err != nil {
		return nil, err
	}
	slopes, err := m.MarginSlopes(ctx, res.Findings)
	if err != nil {
		return nil, err
	}
	var list []standing
	for i := range res.Findings {
		f := &res.Findings[i]
		if f.Apart {
			continue
		}
		j := m.Problem.Judge(f)
		one := standing{check: f.Check, margin: j.Margin, at: f.At}
		if f.OK {
			one.margin = math.Max(one.margin, 0)
		}
		if slopes[i] != nil {
			for k, d := range s.q.Dims {
				one.strays += math.Abs(slopes[i][d]) * (n.cell.To[k] - n.cell.From[k]) / 2
			}
		}
		list = append(list, one)
	}
	slices.SortStableFunc(list, func(a, b standing) int {
		if a.margin < 0 || b.margin < 0 {
			return cmp.Compare(a.margin, b.margin)
		}
		return cmp.Compare(a.margin-a.strays, b.margin-b.strays)
	})
	return list, nil
}

// worthProving reports whether slopes let everything hold all over a cell; the smallest cells are tried in any case.
func (s *search) worthProving(found []standing, c *Cell) bool {
	return c.level >= s.q.Depth || len(found) == 0 || found[0].margin-found[0].strays >= -found[0].strays/4
}

// notProved leaves of the checks those that are not proved to hold with all values of a cell, up to the first that is not where
// nothing is gained by going on.
func (s *search) notProved(ctx context.Context, m *machine.Machine, o machine.Options, n *node) ([]int, error) {
	o.Budget = boxesAllowed
	v, err := s.all(ctx, m, o, &n.cell)
	if err != nil {
		return n.asked, err
	}
	var left []int
	for _, i := range n.asked {
		ok, err := v.Keeps(ctx, i)
		if err == nil && !ok {
			ok, err = s.neverPass(ctx, v, i)
		}
		if err != nil {
			return n.asked, err
		}
		if !ok {
			left = append(left, i)
		}
	}
	return left, nil
}

// all is every engine of a cell, with all that play allows.
func (s *search) all(ctx context.Context, m *machine.Machine, o machine.Options, c *Cell) (*machine.OverSizes, error) {
	if len(m.Problem.Plays) == 0 {
		return m.OverSizes(ctx, o, s.sizes(c))
	}
	p, err := m.Playing(ctx, o, 0, s.sizes(c).List)
	if err != nil {
		return nil, err
	}
	return p.OverSizes, nil
}

// neverPass reports whether the two of a gap are proved never to pass each other, with all values.
func (s *search) neverPass(ctx context.Context, v *machine.OverSizes, gap int) (bool, error) {
	k, ok := s.passing[gap]
	if !ok {
		return false, nil
	}
	b, err := v.Check(ctx, k, false)
	return err == nil && b.Known && !b.Apart && b.Worst > 0, err // apart across says nothing of the side view
}

// short is a check that is proved not to hold with any value of a cell; -1 where none is.
func (s *search) short(ctx context.Context, m *machine.Machine, o machine.Options, c *Cell, found []standing) (int, error) {
	var whole *machine.OverSizes
	o.Budget = boxesAllowed
	for k, f := range found[:min(len(found), suspects)] {
		if !(f.margin < 0) || math.IsInf(f.margin, 0) || -f.margin < f.strays/2 && c.level < s.q.Depth {
			continue
		}
		v, err := m.OverSizesAt(ctx, o, s.sizes(c), f.at)
		if err != nil {
			return -1, err
		}
		ok, err := v.Short(ctx, f.check)
		if err != nil || ok {
			return f.check, err
		}
		if k > 0 || m.Problem.Checks[f.check].Kind != solver.Keep { // a sum that goes by the whole turn
			continue
		}
		if whole == nil {
			if whole, err = m.OverSizes(ctx, o, s.sizes(c)); err != nil {
				return -1, err
			}
		}
		if ok, err := whole.Short(ctx, f.check); err != nil || ok {
			return f.check, err
		}
	}
	return -1, nil
}
