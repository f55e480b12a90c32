package sketch

import (
	"strings"

	"barover/sketch/syntax"
)

// renamer writes the names of instances in full, once all files have been read. A name that a file gives gets the name of
// its instance before it. A name that a file uses is looked up first in its own instance, then in the sketch or instance
// that takes it in.
type renamer struct {
	l     *loader
	given map[syntax.Named]map[string]bool // the full names that statements give
}

// rename does that for the whole sketch. Sketches without instances are left alone.
func (l *loader) rename() {
	if len(l.instanceOf) == 0 {
		return
	}
	r := renamer{l, map[syntax.Named]map[string]bool{}}
	r.enter(nil, syntax.NamesPart, "frame")
	for _, st := range l.sketch.statements {
		r.names(l.instanceOf[st.file], st.s)
	}
	for _, st := range l.sketch.statements {
		r.statement(l.instanceOf[st.file], st.s)
	}
}

// enter notes a name that an instance gives.
func (r *renamer) enter(in *instance, k syntax.Named, name string) {
	if r.given[k] == nil {
		r.given[k] = map[string]bool{}
	}
	r.given[k][in.full(name)] = true
}

// names notes the names that a statement gives.
func (r *renamer) names(in *instance, s syntax.Statement) {
	switch s := s.(type) {
	case *syntax.Dim:
		if s.Word == "dim" {
			r.enter(in, syntax.NamesFigure, s.Name.Text)
		}
	case *syntax.Profile:
		r.enter(in, syntax.NamesProfile, profileName(s).Text)
	}
	syntax.Walk(s, syntax.Visitor{
		Given:     func(k syntax.Named, n *syntax.Name) { r.enter(in, k, n.Text) },
		Used:      func(syntax.Named, *syntax.Name) {},
		Qualified: func(*syntax.Qualified) {},
		Sum:       func(syntax.Expr) {},
	})
}

// statement writes the names of a statement in full.
func (r *renamer) statement(in *instance, s syntax.Statement) {
	if p, ok := s.(*syntax.Profile); ok {
		p.Part.Text = in.full(p.Part.Text)
	}
	syntax.Walk(s, syntax.Visitor{
		Given:     func(_ syntax.Named, n *syntax.Name) { n.Text = in.full(n.Text) },
		Used:      func(k syntax.Named, n *syntax.Name) { r.find(in, k, n) },
		Qualified: func(q *syntax.Qualified) { r.qualified(in, q) },
		Sum:       func(x syntax.Expr) { r.sum(in, x) },
	})
}

// find writes a name that a statement uses in full.
func (r *renamer) find(in *instance, k syntax.Named, n *syntax.Name) {
	n.Text, _ = r.full(in, k, n.Text)
}

// full is the full name of the thing that a name means in an instance.
func (r *renamer) full(in *instance, k syntax.Named, name string) (string, bool) {
	for ; in != nil; in = in.within {
		if full := in.full(name); r.given[k][full] {
			return full, true
		}
	}
	return name, r.given[k][name]
}

// qualified writes PART or PART.PROFILE in full. A profile that an instance gives to a part of another gets the name of
// its instance: rear.frame.bars.
func (r *renamer) qualified(in *instance, q *syntax.Qualified) {
	if q.Profile == nil {
		r.find(in, syntax.NamesPart, &q.Part)
		return
	}
	whole := q.Part.Text + "." + q.Profile.Text
	if full, ok := r.full(in, syntax.NamesProfile, whole); ok {
		q.Part.Text = strings.TrimSuffix(full, "."+q.Profile.Text)
		return
	}
	full, ok := r.full(in, syntax.NamesPart, whole)
	if ok || r.isInstance(in, q.Part.Text) {
		q.Part = syntax.Name{Text: full, Span: q.Span}
		q.Profile = nil
		return
	}
	r.find(in, syntax.NamesPart, &q.Part)
}

// isInstance reports whether a file is taken in under a name.
func (r *renamer) isInstance(in *instance, name string) bool {
	for {
		if r.l.instanceNamed(in.full(name+".")) != nil {
			return true
		}
		if in == nil {
			return false
		}
		in = in.within
	}
}

// sum writes the names of a sum in full. Depth is bounded by the parser.
func (r *renamer) sum(in *instance, x syntax.Expr) {
	switch x := x.(type) {
	case *syntax.Ref:
		kind := syntax.NamesFigure
		if _, ok := r.full(in, kind, x.Name.Text); !ok {
			kind = syntax.NamesMark
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
			case names[i] != syntax.NamesProfile:
				r.find(in, names[i], &ref.Name)
			default:
				q := syntax.QualifiedOf(ref.Name)
				r.qualified(in, &q)
				ref.Name.Text = syntax.ShownName(q)
			}
		}
	}
}
