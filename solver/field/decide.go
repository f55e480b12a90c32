package field

import (
	"cmp"
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/machine"
)

// standing is the state of a check in the middle of a cell.
type standing struct {
	check  int
	margin float64
	strays float64 // by how much the margin changes to a corner of the cell, by its slopes
	at     solver.Position
}

const (
	// boxesAllowed is how many boxes may be tried to enclose all engines of a cell at one setting, and partsAllowed how
	// many parts of boxes may be tried for one check. It is better to halve a cell that takes more.
	boxesAllowed = 80
	partsAllowed = 300
	// suspects is how many checks are tried for a proof that they fall short.
	suspects = 3
	// inMiddleFrom is the number of halvings from which a cell is looked at in its middle although its engines could not
	// be enclosed at once.
	inMiddleFrom = 3
)

// decided is the result for a cell: its quarters, and what was proved to fall short all over it.
type decided struct {
	cell  Cell
	parts []node
	cut   *standing
}

// decide proves what it can about a cell.
func (s *search) decide(ctx context.Context, n node) (d decided, err error) {
	o := s.o
	o.Workers = 1
	m, err := s.machineAt(middle(&n.cell))
	if err != nil {
		n.cell.Seen = true
		return decided{n.cell, s.quarters(&n), nil}, ctx.Err()
	}
	if d.cut, err = s.short(ctx, m, o, &n, s.cutters(&n)); err != nil || d.cut != nil {
		d.cell = n.cell
		return d, err
	}
	enclosed, err := s.notProved(ctx, m, o, &n)
	if err != nil {
		return d, err
	}
	switch {
	case len(n.asked) == 0:
		n.cell.State, n.cell.Seen = Holds, true
	case enclosed || n.cell.level >= min(inMiddleFrom, s.q.Depth): // a cell that is too wide is skipped: its middle says little
		d.cut, err = s.inMiddle(ctx, m, o, &n)
	}
	d.cell, d.parts = n.cell, s.quarters(&n)
	return d, err
}

// inMiddle answers in the middle of a cell what is not proved all over it, and tries to prove that what falls short there
// does so all over.
func (s *search) inMiddle(ctx context.Context, m *machine.Machine, o machine.Options, n *node) (*standing, error) {
	n.cell.Seen, n.suspects = true, nil
	if broken, err := m.FirstBreak(ctx); err != nil || broken != nil {
		return nil, err
	}
	asked := n.asked
	if n.cell.level >= s.q.Depth {
		asked = asked[:1] // one that falls short is enough
	}
	found, err := s.stand(ctx, m, o, n, asked)
	if err == nil && len(asked) < len(n.asked) && (len(found) == 0 || found[0].margin >= 0) {
		found, err = s.stand(ctx, m, o, n, n.asked)
	}
	if err != nil {
		return nil, err
	}
	n.cell.Middle = true
	if len(found) > 0 {
		n.cell.Check, n.cell.Middle = found[0].check, found[0].margin >= 0
	}
	for _, f := range found[:min(len(found), suspects)] {
		if f.margin < 0 && !math.IsInf(f.margin, 0) {
			n.suspects = append(n.suspects, f)
		}
	}
	return s.short(ctx, m, o, n, n.suspects)
}

// quarters are the four parts of a cell.
func (s *search) quarters(n *node) (list []node) {
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
			list = append(list, node{cell: c, asked: n.asked, suspects: n.suspects})
		}
	}
	return list
}

// stand answers checks in the middle of a cell, the worst first: those that fall short, then by how little of their room
// the cell may leave them.
func (s *search) stand(ctx context.Context, m *machine.Machine, o machine.Options, n *node, checks []int) ([]standing, error) {
	res, err := m.Some(ctx, o, checks)
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

// notProved keeps, of the checks asked, those that are not proved to hold with all values of a cell, and reports whether
// the engines could be enclosed. In the smallest cells one is enough, since they are not halved.
func (s *search) notProved(ctx context.Context, m *machine.Machine, o machine.Options, n *node) (enclosed bool, err error) {
	if s.plays {
		return false, nil
	}
	o.Budget = boxesAllowed
	v, err := s.all(ctx, m, o, &n.cell)
	if err != nil {
		return false, err
	}
	var left []int
	for k, i := range n.asked {
		ok := false
		if !slices.Contains(n.short, i) {
			ok, err = v.Keeps(ctx, i)
		}
		if err == nil && !ok {
			ok, err = s.neverPass(ctx, v, i)
		}
		if err != nil {
			return false, err
		}
		if ok {
			continue
		}
		if left = append(left, i); n.cell.level >= s.q.Depth {
			left = append(left, n.asked[k+1:]...)
			break
		}
	}
	n.asked = left
	return v.Enclosed(), nil
}

// cutters are the checks tried for falling short all over a cell: first those of the middle of the larger one, last those
// of other cells.
func (s *search) cutters(n *node) []standing {
	list := slices.Clone(n.suspects)
	for _, f := range s.cuts {
		if !slices.ContainsFunc(list, f.like) {
			list = append(list, f)
		}
	}
	return list
}

// like reports whether another is about the same check at about the same place.
func (f *standing) like(o standing) bool {
	return o.check == f.check && slices.Equal(o.at.Travel, f.at.Travel) && math.Abs(o.at.Turn-f.at.Turn) < sameCut
}

// cut notes what fell short all over a cell.
func (s *search) cut(f standing) {
	s.cuts = slices.Insert(slices.DeleteFunc(s.cuts, f.like), 0, f)
	s.cuts = s.cuts[:min(len(s.cuts), mostCuts)]
}

const (
	// mostCuts is how many places at which something fell short elsewhere are tried in a cell.
	mostCuts = 4
	// sameCut is how near two places of one check are in the turn, rad, to count as one.
	sameCut = 0.05
)

// all is every engine of a cell, with everything that play allows.
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
	return err == nil && b.Known && !b.Apart && b.Worst > 0, err // being apart across says nothing of the side view
}

// short finds a check that is proved not to hold with any value of a cell, at the place where it fell short by most in
// the middle of it or of another cell, and marks the cell; it returns nil where there is none.
func (s *search) short(ctx context.Context, m *machine.Machine, o machine.Options, n *node, found []standing) (*standing, error) {
	o.Budget = boxesAllowed
	for i := range found {
		f := &found[i]
		room, err := m.RoomAt(ctx, f.check, f.at)
		if err != nil {
			return nil, err
		}
		if room >= 0 {
			continue // it does not fall short all over the cell
		}
		if room < 0 {
			n.short = append(n.short, f.check)
		}
		v, err := m.OverSizesAt(ctx, o, s.sizes(&n.cell), f.check, f.at)
		if err != nil {
			return nil, err
		}
		ok, err := v.Short(ctx, f.check)
		if err != nil {
			return nil, err
		}
		if ok {
			n.cell.State, n.cell.Check, n.cell.Seen = Short, f.check, true
			return f, nil
		}
	}
	return nil, nil
}
