package sheet

import (
	"math"
	"slices"

	"barover/render/drawing"
	"barover/render/labels"
	"barover/render/office"
	"barover/solver/plane"
)

// view is a scene being drawn on a sheet.
type view struct {
	*scene
	o      *Options
	w      Words
	l      layout
	d      *drawing.Drawing
	k      float64     // mm of paper a mm of the engine
	shift  plane.Vec   // the engine's origin on the paper
	forms  map[int]int // outline of each body, by its index
	labels *labels.Room
	kinds  []office.Kind // line kinds that the sheet uses, for the legend
}

func newView(s *scene, o *Options, l layout) *view {
	v := &view{scene: s, o: o, w: o.Words, l: l, d: drawing.New(o.Title, l.paper.Wide, l.paper.High), k: l.scale.K()}
	if !s.box.Empty() {
		v.shift = l.picture.Centre().Sub(s.box.Centre().Scale(v.k))
	} else {
		v.shift = l.picture.Centre()
	}
	v.forms = make(map[int]int)
	for i := range s.bodies {
		v.forms[i] = v.d.Define(s.bodies[i].path.Scaled(v.k))
	}
	v.labels = labels.New(l.picture.Grown(-2))
	if c, ok := v.scaleBar(); ok {
		v.labels.Block(c.box())
	}
	for _, m := range office.Marks(l.frame) {
		v.labels.Block(m.Grown(1))
	}
	return v
}

// on puts a place of the engine on the paper.
func (v *view) on(p plane.Vec) plane.Vec { return p.Scale(v.k).Add(v.shift) }

func (v *view) runOn(run []plane.Vec) []plane.Vec {
	out := make([]plane.Vec, len(run))
	for i, p := range run {
		out[i] = v.on(p)
	}
	return out
}

// at puts a placement on the paper; the outlines are to scale already.
func (v *view) at(p plane.Placement) plane.Placement {
	return plane.Placement{Origin: v.on(p.Origin), Dir: p.Dir}
}

func (v *view) legend(style *drawing.Style, words string) {
	if k := (office.Kind{Style: style, Words: words}); !slices.Contains(v.kinds, k) {
		v.kinds = append(v.kinds, k)
	}
}

func (v *view) fixed() {
	var list []int
	for i := range v.bodies {
		if v.bodies[i].fixed && v.chosen != nil {
			list = append(list, i)
		}
	}
	if l := v.d.Layer("fixed", "Fixed parts"); len(list) > 0 {
		v.solid(l, list, "", func(*body) *drawing.Style { return fixedLine })
		v.legend(fixedLine, "fixed parts")
	}
}

// axis is the axis of a body that is round about it, and whether it is.
func (b *body) axis() (c plane.Vec, ok bool) {
	for i, loop := range b.region.Loops {
		for j, e := range loop {
			if i+j == 0 {
				c = e.C
			}
			if e.R == 0 || e.C.Sub(c).Len() > 1e-9 {
				return c, false
			}
		}
	}
	return c, len(b.region.Loops) > 0
}

// about is the label of a body for the pointer.
func (v *view) about(b *body) string {
	if !math.IsNaN(b.band[0]) && !math.IsNaN(b.band[1]) {
		return b.name + ", across " + v.w.length(b.band[0]) + " to " + v.w.length(b.band[1])
	}
	return b.name
}

func (v *view) ghostPositions() {
	l := v.d.Layer("ghosts", "Other positions")
	words := "positions every " + degrees(v.stride(v.o.Ghosts))
	for i, b := range v.bodies {
		if b.fixed {
			continue
		}
		axis, turns := b.axis()
		var seen []plane.Vec
		for _, p := range v.ghosts {
			at := v.at(p.Part[b.part])
			if c := at.Out(axis.Scale(v.k)); turns {
				if near(seen, c) { // a disc about its own axis looks the same at every position
					continue
				}
				seen = append(seen, c)
			}
			l.Place(v.forms[i], at, ghostLine, b.name+" at "+v.turned(p.Turn))
			v.legend(ghostLine, words)
		}
	}
}

func (v *view) chosenPosition() {
	if v.chosen == nil {
		return
	}
	var moving, all []int
	for i := range v.bodies {
		if all = append(all, i); !v.bodies[i].fixed {
			moving = append(moving, i)
		}
	}
	if len(moving) > 0 {
		v.solid(v.d.Layer("chosen", "Chosen position"), moving, "", func(b *body) *drawing.Style { return tints[b.part%len(tints)] })
		v.dashed(v.d.Layer("hidden", "Hidden edges"), all, hiddenLine)
		v.legend(tints[0], "position at "+v.chosenAt())
		v.legend(hiddenLine, "hidden edges")
	}
}

// solid draws bodies at the chosen position, nearer ones over farther ones.
func (v *view) solid(l *drawing.Layer, list []int, prefix string, style func(b *body) *drawing.Style) {
	for _, i := range list {
		b := &v.bodies[i]
		l.Place(v.forms[i], v.at(v.chosen.Part[b.part]), style(b), prefix+v.about(b))
	}
}

// dashed draws dashes over every outline of some bodies. Under a thick edge they vanish; where a nearer part covers the
// edge they are the hidden lines of a drawing.
func (v *view) dashed(l *drawing.Layer, list []int, style *drawing.Style) {
	for _, i := range list {
		l.Place(v.forms[i], v.at(v.chosen.Part[v.bodies[i].part]), style, "")
	}
}

// chosenAt says which position is drawn thick: "crank 90°, axle +1/8".
func (v *view) chosenAt() string {
	at := v.turnName() + " " + v.turned(v.chosen.Turn)
	for i, t := range v.Problem.Travels {
		if i < len(v.chosen.Travel) {
			at += ", " + t.Name + " " + v.travel(i, v.chosen.Travel[i], v.w)
		}
	}
	return at
}

// slight is how far a corner may be off the line through its neighbours and still be left out, mm of paper.
const slight = 0.015

func tooSmall(b drawing.Box) bool {
	w, h := b.Size()
	return w < 0.7 && h < 0.7
}

// traced lists the points of what is drawn that have a path.
func (e *Engine) traced() (list []int) {
	for _, point := range e.Problem.Traces {
		if point >= 0 && point < len(e.Problem.Linkage.Points) && e.Leaves(point) {
			list = append(list, point)
		}
	}
	return list
}

func (e *Engine) pointName(i int) string {
	if i < 0 || i >= len(e.Problem.Linkage.Points) {
		return ""
	}
	return e.Problem.Linkage.Points[i].Name
}
