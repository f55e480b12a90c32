package solver

import (
	"slices"

	"barover/solver/expr"
	"barover/solver/schedule"
)

// Users are the profiles and parts that a dimension is written in, by their numbers: profiles with the dimension in the
// sums of their outline or band, and parts with it in the sums of their length, heading, points or sideplay. Users of
// another dimension that follows from it are not among them.
type Users struct{ Profiles, Parts []int }

// Users finds for each dimension what it is written in.
func (p *Problem) Users() []Users {
	w := &userSearch{p: p, users: make([]Users, len(p.Dims))}
	for i := range p.Profiles {
		f := &p.Profiles[i]
		sums := []expr.ID{f.From, f.To}
		for _, s := range f.Shapes {
			sums = append(sums, s.Sums()...)
		}
		for _, d := range w.dims(sums...) {
			w.users[d].Profiles = append(w.users[d].Profiles, i)
		}
	}
	w.parts()
	for d := range w.users {
		slices.Sort(w.users[d].Parts)
		w.users[d].Parts = slices.Compact(w.users[d].Parts)
	}
	return w.users
}

// MadeOf lists the dimensions in the sum of one, directly and through others.
func (p *Problem) MadeOf(dim int) (list []int) {
	w := &userSearch{p: p}
	list = w.dims(p.Graph.Nodes[p.Graph.Dims[dim]].A)
	for i := 0; i < len(list); i++ {
		for _, d := range w.dims(p.Graph.Nodes[p.Graph.Dims[list[i]]].A) {
			if !slices.Contains(list, d) {
				list = append(list, d)
			}
		}
	}
	return list
}

type userSearch struct {
	p     *Problem
	users []Users
}

// dims are the dimensions in some sums.
func (w *userSearch) dims(sums ...expr.ID) (list []int) {
	w.p.Graph.Visit(func(_ expr.ID, n *expr.Node) bool {
		if n.Op == expr.Dim {
			list = append(list, int(n.Ref))
		}
		return n.Op != expr.Dim
	}, sums...)
	return list
}

// parts finds the parts that dimensions are written in.
func (w *userSearch) parts() {
	m := w.p.Linkage
	use := func(part int, sums ...expr.ID) {
		for _, d := range w.dims(sums...) {
			w.users[d].Parts = append(w.users[d].Parts, part)
		}
	}
	between := make(map[[2]int]int) // the parts from one point to another
	for i, part := range m.Parts {
		use(i, part.Heading)
		if part.Kind == schedule.FromTo {
			between[[2]int{part.P, part.Q}], between[[2]int{part.Q, part.P}] = i, i
		}
	}
	for i, play := range w.p.Sideplay {
		use(i, play)
	}
	for _, pt := range m.Points {
		if pt.Kind == schedule.OnPart && pt.Part >= 0 {
			use(pt.Part, pt.U, pt.V)
		}
	}
	for _, e := range m.Equations {
		if part, ok := between[[2]int{e.P, e.Q}]; ok && e.Kind == schedule.Length {
			use(part, e.V)
		}
	}
}
