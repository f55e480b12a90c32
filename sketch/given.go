package sketch

import (
	"fmt"
	"slices"
	"strings"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
)

// givenFigure is the turn or a travel of an instance that its use statement gives a value.
type givenFigure struct {
	name     string
	variable int // its kind, in the inference
	turn     bool
	value    syntax.Expr
	file     *syntax.File // the file of the value
	stmt     int          // the use statement
}

// setting is the value that a use statement gives to a name of its instance; ok is false where it gives none.
func (in *instance) setting(name string) (x syntax.Expr, ok bool) {
	for i := range in.use.Set {
		if in.given[i] == name {
			return in.use.Set[i].Value, true
		}
	}
	return nil, false
}

// settingOf is the value that a use statement gives to a full name of a file, and the instance that it makes; nil for none.
// Of a file that another instance takes in, the outermost statement counts.
func (l *loader) settingOf(file *syntax.File, name string) (x syntax.Expr, by *instance) {
	for in := l.instanceOf[file]; in != nil; in = in.within {
		if v, ok := in.setting(strings.TrimPrefix(name, in.prefix)); ok {
			x, by = v, in
		}
	}
	return x, by
}

// giveFigure enters the turn or a travel of an instance whose use statement gives its value. Its own range no longer
// counts.
func (l *loader) giveFigure(s *syntax.Turn, at place) bool {
	x, in := l.settingOf(at.file, s.Name.Text)
	if in == nil {
		return false
	}
	if l.give(l.names.figures, s.Name, thing{aGiven, len(l.given), at}) {
		v := l.kinds.Add(s.Name.Text)
		l.given = append(l.given, givenFigure{s.Name.Text, v, !s.Travel, x, in.file, in.stmt})
		if l.kinds.Variables[v].Length = s.Travel; !s.Travel {
			l.kinds.Equate(l.kinds.Of(v), quantity.Known(quantity.Angle), at)
		}
	}
	return true
}

// strangeSettings reports what a use statement gives that the file does not have, or gives twice.
func (l *loader) strangeSettings() {
	for _, in := range l.instances {
		for i, s := range in.use.Set {
			name := in.given[i]
			at := place{in.file, s.Dim.Span}
			if slices.Index(in.given, name) < i {
				l.tell(at, name+" is given twice", "take one of the two out")
				continue
			}
			t, ok := l.names.figures.find(in.prefix + name)
			switch {
			case !ok:
				if !l.allLost && !l.lost[name] {
					l.tell(at, fmt.Sprintf("%s has no dimension, turn or travel %s", in.use.File.Text, name), l.nearIn(in, name))
				}
			case t.sort == aMeasure:
				l.tell(at, name+" is a measure: it follows, and cannot be given", "take it out, or give the dimensions that it follows from", t.at.note("it is given here"))
			}
		}
	}
}

// nearIn says which name of an instance may be meant.
func (l *loader) nearIn(in *instance, name string) string {
	var own []string
	for _, full := range l.names.figures.order {
		if rest, ok := strings.CutPrefix(full, in.prefix); ok && len(own) < mostCompared {
			own = append(own, rest)
		}
	}
	return syntax.DidYouMean(name, own)
}

// lowerGiven makes nodes of what use statements give to turns and travels.
func (l *loader) lowerGiven() {
	order, circles := ordered(len(l.given), func(i int) (needs []int) {
		syntax.EachRef(l.given[i].value, func(r *syntax.Ref) {
			if t, ok := l.names.figures.find(r.Name.Text); ok && t.sort == aGiven {
				needs = append(needs, t.index)
			}
		})
		return needs
	})
	for _, c := range circles {
		g := &l.given[c[0]]
		l.tell(place{g.file, g.value.Where()}, g.name+" follows from itself", "give it a value by the turn, a travel or dimensions")
		for _, i := range c {
			l.kinds.Variables[l.given[i].variable].Broken = true
		}
	}
	for _, i := range order {
		l.sum.given[i] = l.sum.wantOf(l.given[i].value)
	}
}

// giveDim replaces the sum of a dimension by the one that the use statement of its file gives.
func (l *loader) giveDim(d *dimension, file *syntax.File) {
	if x, in := l.settingOf(file, d.name); in != nil {
		d.drawn, d.given = x, in
	}
}

// fileOf is the file in which the sum of a dimension stands.
func (l *loader) fileOf(d *dimension) *syntax.File {
	if d.given != nil {
		return d.given.file
	}
	return l.sketch.statements[d.stmt].file
}
