package sketch

import (
	"strings"

	"barover/sketch/syntax"
)

// nameKind says in which set of names a name is looked up.
type nameKind uint8

const (
	figureName nameKind = iota
	pointName
	guideName
	partName
	caseName
	markName
	chartName
	profileNames
)

// renamer writes the names of instances in full, once all files have been read. A name that a file gives gets the name of
// its instance before it. A name that a file uses is looked up first in its own instance, then in the sketch or instance
// that takes it in.
type renamer struct {
	l     *loader
	given map[nameKind]map[string]bool // in full
}

// rename does that for the whole sketch. Sketches without instances are left alone.
func (l *loader) rename() {
	if len(l.instanceOf) == 0 {
		return
	}
	r := renamer{l, map[nameKind]map[string]bool{}}
	for k := figureName; k <= profileNames; k++ {
		r.given[k] = map[string]bool{}
	}
	r.given[partName]["frame"] = true
	for _, st := range l.sketch.statements {
		r.enter(l.instanceOf[st.file], st.s)
	}
	for _, st := range l.sketch.statements {
		r.statement(l.instanceOf[st.file], st.s)
	}
	for _, in := range l.instances {
		for i := range in.use.Set {
			r.sum(in.within, in.use.Set[i].Value)
		}
	}
}

// enter notes the names that a statement gives.
func (r *renamer) enter(in *instance, s syntax.Statement) {
	prefix := ""
	if in != nil {
		prefix = in.prefix
	}
	put := func(k nameKind, n syntax.Name) { r.given[k][prefix+n.Text] = true }
	switch s := s.(type) {
	case *syntax.Dim:
		if s.Word == "dim" {
			put(figureName, s.Name)
		}
	case *syntax.Turn:
		put(figureName, s.Name)
	case *syntax.Measure:
		put(figureName, s.Name)
	case *syntax.Point:
		put(pointName, s.Name)
	case *syntax.Line:
		put(guideName, s.Name)
	case *syntax.Arc:
		put(guideName, s.Name)
	case *syntax.Slot:
		put(guideName, s.Name)
	case *syntax.Part:
		put(partName, s.Name)
	case *syntax.Case:
		put(caseName, s.Name)
	case *syntax.Mark:
		put(markName, s.Name)
	case *syntax.Chart:
		put(chartName, s.Name)
	case *syntax.Profile:
		put(profileNames, syntax.Name{Text: s.Part.Text + "." + s.Name.Text})
	}
}

// own writes the name that a statement gives in full.
func (r *renamer) own(in *instance, n *syntax.Name) {
	if in != nil {
		n.Text = in.prefix + n.Text
	}
}

// find writes a name that a statement uses in full.
func (r *renamer) find(in *instance, k nameKind, n *syntax.Name) {
	if n == nil {
		return
	}
	if full, ok := r.full(in, k, n.Text); ok {
		n.Text = full
	}
}

// full is the full name of the thing that a name means in an instance.
func (r *renamer) full(in *instance, k nameKind, name string) (string, bool) {
	for ; in != nil; in = in.within {
		if full := in.prefix + name; r.given[k][full] {
			return full, true
		}
	}
	return name, r.given[k][name]
}

// qualified writes PART or PART.PROFILE in full. A profile that an instance gives to a part of another gets the name of
// its instance: rear.frame.bars.
func (r *renamer) qualified(in *instance, q *syntax.Qualified) {
	if q.Profile == nil {
		r.find(in, partName, &q.Part)
		return
	}
	whole := q.Part.Text + "." + q.Profile.Text
	if full, ok := r.full(in, profileNames, whole); ok {
		q.Part.Text = strings.TrimSuffix(full, "."+q.Profile.Text)
		return
	}
	full, ok := r.full(in, partName, whole)
	if ok || r.isInstance(in, q.Part.Text) {
		q.Part = syntax.Name{Text: full, Span: q.Span}
		q.Profile = nil
		return
	}
	r.find(in, partName, &q.Part)
}

// isInstance reports whether a file is taken in under a name.
func (r *renamer) isInstance(in *instance, name string) bool {
	for {
		prefix := name + "."
		if in != nil {
			prefix = in.prefix + prefix
		}
		if r.l.instanceNamed(prefix) != nil {
			return true
		}
		if in == nil {
			return false
		}
		in = in.within
	}
}

// statement writes the names of a statement in full.
func (r *renamer) statement(in *instance, s syntax.Statement) {
	switch s := s.(type) {
	case *syntax.Ghosts:
		r.sum(in, s.Every)
	case *syntax.Scan:
		for i := range s.Places {
			r.pair(in, &s.Places[i].Pixel)
			r.spot(in, &s.Places[i].On)
		}
	case *syntax.Washers:
		r.sums(in, s.Thick...)
	case *syntax.Dim:
		r.dim(in, s)
	case *syntax.Stock:
		r.find(in, figureName, &s.Name)
		r.sums(in, s.Sizes...)
	case *syntax.Case:
		r.own(in, &s.Name)
		for i := range s.Set {
			r.find(in, figureName, &s.Set[i].Dim)
			r.sum(in, s.Set[i].Value)
		}
	case *syntax.Turn:
		r.own(in, &s.Name)
		r.sums(in, s.From, s.To, s.Step, s.Rest)
		r.sums(in, s.Settings...)
	case *syntax.Point, *syntax.Line, *syntax.Arc, *syntax.Slot, *syntax.Length, *syntax.Angle, *syntax.Slide:
		r.motion(in, s)
	case *syntax.Part, *syntax.Sideplay, *syntax.Play, *syntax.Profile:
		r.part(in, s)
	default:
		r.question(in, s)
	}
}

func (r *renamer) dim(in *instance, s *syntax.Dim) {
	if s.Word == "dim" {
		r.own(in, &s.Name)
	} else {
		r.find(in, figureName, &s.Name)
	}
	r.sums(in, s.Value, s.PlusMinus, s.Lower, s.Upper)
}

func (r *renamer) motion(in *instance, s syntax.Statement) {
	switch s := s.(type) {
	case *syntax.Point:
		r.own(in, &s.Name)
		r.pair(in, s.Place)
		r.pair(in, s.Near)
		r.find(in, partName, s.On)
	case *syntax.Line:
		r.own(in, &s.Name)
		r.spot(in, s.P)
		r.spot(in, s.Q)
		r.sum(in, s.Heading)
	case *syntax.Arc:
		r.own(in, &s.Name)
		r.find(in, partName, &s.On)
		r.pair(in, &s.Centre)
		r.sum(in, s.Radius)
	case *syntax.Slot:
		r.own(in, &s.Name)
		r.find(in, partName, &s.On)
		r.spot(in, &s.P)
		r.spot(in, &s.Q)
		r.sum(in, s.Wide)
		r.bend(in, s.Bend)
	case *syntax.Length:
		r.points(in, &s.P, &s.Q)
		r.sums(in, s.Value, s.Play)
	case *syntax.Angle:
		r.points(in, &s.P, &s.Q, s.R)
		r.sum(in, s.Value)
	case *syntax.Slide:
		r.points(in, &s.P)
		r.find(in, guideName, &s.On)
	}
}

func (r *renamer) part(in *instance, s syntax.Statement) {
	switch s := s.(type) {
	case *syntax.Part:
		r.own(in, &s.Name)
		r.points(in, &s.P, s.Q)
		r.find(in, guideName, s.Along)
		r.sum(in, s.Heading)
	case *syntax.Sideplay:
		r.find(in, partName, &s.Part)
		r.sum(in, s.Value)
	case *syntax.Play:
		if !s.All {
			r.find(in, partName, &s.Part)
		}
		if s.Point != nil {
			r.points(in, s.Point)
		}
		r.find(in, guideName, s.Line)
		r.sum(in, s.Value)
	case *syntax.Profile:
		r.own(in, &s.Part)
		r.sums(in, s.From, s.To, s.Centred, s.Thick)
		for i := range s.Shapes {
			sh := &s.Shapes[i]
			r.spot(in, &sh.P)
			r.spot(in, &sh.Q)
			r.sums(in, sh.Dia, sh.Wide, sh.WideTo)
			r.bend(in, sh.Bend)
			r.find(in, guideName, sh.Slot)
			for k := range sh.Steps {
				r.spot(in, &sh.Steps[k].To)
				r.sum(in, sh.Steps[k].Radius)
			}
		}
	}
}

func (r *renamer) question(in *instance, s syntax.Statement) {
	switch s := s.(type) {
	case *syntax.Clear:
		if !s.All {
			r.qualified(in, &s.A)
			r.qualified(in, &s.B)
		}
		r.sums(in, s.By, s.AtMost)
	case *syntax.Allow:
		r.qualified(in, &s.A)
		r.qualified(in, &s.B)
	case *syntax.Gap:
		r.qualified(in, &s.A)
		r.qualified(in, &s.B)
		r.sums(in, s.AtLeast, s.AtMost)
	case *syntax.Keep:
		r.sums(in, s.Sum, s.Above, s.Below)
	case *syntax.Measure:
		r.own(in, &s.Name)
		r.sum(in, s.Sum)
	case *syntax.Mark:
		r.own(in, &s.Name)
		r.sums(in, s.Sum, s.Past)
		r.names(in, figureName, s.Showing)
	case *syntax.Trace:
		r.points(in, &s.P)
	case *syntax.Column:
		r.own(in, &s.Name)
		r.sums(in, s.Of...)
		r.sums(in, s.When, s.Above, s.Below)
	case *syntax.Chart:
		r.own(in, &s.Name)
		r.names(in, figureName, s.Of)
		r.find(in, figureName, &s.Against)
		r.names(in, markName, s.Showing)
	}
}

func (r *renamer) names(in *instance, k nameKind, list []syntax.Name) {
	for i := range list {
		r.find(in, k, &list[i])
	}
}

func (r *renamer) points(in *instance, list ...*syntax.Name) {
	for _, n := range list {
		r.find(in, pointName, n)
	}
}

func (r *renamer) pair(in *instance, p *syntax.Pair) {
	if p != nil {
		r.sums(in, p.U, p.V)
	}
}

func (r *renamer) spot(in *instance, p *syntax.Spot) {
	switch {
	case p == nil:
	case p.Name != nil:
		r.find(in, pointName, p.Name)
	default:
		r.pair(in, p.Pair)
	}
}

func (r *renamer) bend(in *instance, b *syntax.Bend) {
	if b != nil {
		r.sum(in, b.Radius)
	}
}

func (r *renamer) sums(in *instance, list ...syntax.Expr) {
	for _, x := range list {
		r.sum(in, x)
	}
}

// sum writes the names of a sum in full. Depth is bounded by the parser.
func (r *renamer) sum(in *instance, x syntax.Expr) {
	switch x := x.(type) {
	case *syntax.Ref:
		kind := figureName
		if _, ok := r.full(in, kind, x.Name.Text); !ok {
			kind = markName
		}
		r.find(in, kind, &x.Name)
	case *syntax.Unary:
		r.sum(in, x.X)
	case *syntax.Binary:
		r.sum(in, x.X)
		r.sum(in, x.Y)
	case *syntax.Call:
		names := syntax.NamesIn(x)
		for i, arg := range x.Args {
			ref, isRef := arg.(*syntax.Ref)
			switch {
			case i >= len(names) || !isRef:
				r.sum(in, arg)
			case names[i] == syntax.NamesPoint:
				r.find(in, pointName, &ref.Name)
			case names[i] == syntax.NamesLine:
				r.find(in, guideName, &ref.Name)
			default:
				q := syntax.QualifiedOf(ref.Name)
				r.qualified(in, &q)
				ref.Name.Text = syntax.ShownName(q)
			}
		}
	}
}
