package sheet

import (
	"barover/solver/plane"
)

// mostNames bounds the parts that are named on a picture.
const mostNames = 16

// nameHides is the share of a part's name that may lie over the picture.
const nameHides = 0.25

// nameFar is the greatest length of the leader of a part's name, mm: a longer one would run over other parts.
const nameFar = 38.0

// partNames names the moving parts at leaders, each from the place of its outline that is farthest out. A name without
// room is left out.
func (v *view) partNames(most int) {
	if v.chosen == nil {
		return
	}
	l := v.d.Layer("names", "Names of parts")
	far := v.labels.Far
	v.labels.Far = nameFar
	defer func() { v.labels.Far = far }()
	named := map[int]bool{}
	for _, b := range v.bodies {
		if b.fixed || named[b.part] || len(named) == most {
			continue
		}
		named[b.part] = true
		if at, ok := v.outermost(b.part); ok {
			v.flagged(l, at, 0, 0, []string{v.partName(b.part)}, label25, nameLine, nameHides)
		}
	}
}

// outermost is the place of a part's outlines at the chosen position that lies farthest from the middle of the picture.
func (v *view) outermost(part int) (at plane.Vec, ok bool) {
	middle := v.l.picture.Centre()
	for i := range v.bodies {
		if v.bodies[i].part != part {
			continue
		}
		for _, run := range v.flat(&v.bodies[i], v.chosen) {
			for _, p := range run {
				if !ok || p.Sub(middle).Len() > at.Sub(middle).Len() {
					at, ok = p, true
				}
			}
		}
	}
	return at, ok
}
