package sketch

import (
	"slices"
	"strings"

	"barover/sketch/syntax"
)

// instance is a file that is taken in under a name of its own, with the files that it uses. In the sketch its names have
// that name and a dot before them.
type instance struct {
	prefix string       // "rear."; "left.rear." of a file that another instance takes in
	stmt   int          // its use statement
	file   *syntax.File // the file of that statement
	use    *syntax.Use
	within *instance // nil where the sketch itself takes it in
	given  []string  // names to which its use statement gives a value, as it writes them
}

// full returns a name that the instance gives, prefixed with the name of the instance. For the sketch itself (nil) the name is
// unchanged.
func (in *instance) full(name string) string {
	if in == nil {
		return name
	}
	return in.prefix + name
}

// isIn reports whether the instance is another, or taken in by that one.
func (in *instance) isIn(outer *instance) bool {
	for in != nil && in != outer {
		in = in.within
	}
	return in != nil
}

// instanceNamed is the instance of that prefix; nil for none.
func (l *loader) instanceNamed(prefix string) *instance {
	for _, in := range l.instances {
		if in.prefix == prefix {
			return in
		}
	}
	return nil
}

// turnedOver reports whether the bands of a file are on the other side of the datum.
func (l *loader) turnedOver(file *syntax.File) (over bool) {
	for in := l.instanceOf[file]; in != nil; in = in.within {
		over = over != in.use.OtherSide
	}
	return over
}

// newInstance is the instance that a use statement with a name makes of a file.
func (l *loader) newInstance(user *syntax.File, stmt int, u *syntax.Use) *instance {
	within := l.instanceOf[user]
	in := &instance{prefix: within.full(u.As.Text + "."), stmt: stmt, file: user, use: u, within: within}
	for _, s := range u.Set {
		in.given = append(in.given, s.Dim.Text)
	}
	return in
}

// useNames enters the names of instances, so that no part has the same name.
func (l *loader) useNames() {
	for i, in := range l.instances {
		name := syntax.Name{Text: strings.TrimSuffix(in.prefix, "."), Span: in.use.As.Span}
		l.give(l.names.parts, name, thing{aUse, i, l.at(in.stmt, in.use.Span)})
	}
}

// partOfProfile finds the part that a profile belongs to. For rear.frame.bars that is rear's own frame; if rear has none, it is
// the frame of the file that takes rear in, and so on outwards.
func (l *loader) partOfProfile(file *syntax.File, name syntax.Name) (int, bool) {
	own := name.Text[strings.LastIndexByte(name.Text, '.')+1:]
	for within := strings.TrimSuffix(name.Text, own); ; {
		if t, ok := l.names.parts.find(within + own); ok && t.sort == aPart {
			return t.index, true
		}
		if within == "" {
			return l.part(file, name)
		}
		within = within[:strings.LastIndexByte(within[:len(within)-1], '.')+1]
	}
}

// profileName is what a profile is called in the names of its part: PART.PROFILE.
func profileName(s *syntax.Profile) syntax.Name {
	return syntax.Name{Text: s.Part.Text + "." + s.Name.Text, Span: s.Name.Span}
}

// onceAFile keeps one of the messages that several instances of a file have about one place, and shows where the file is
// taken in.
func (l *loader) onceAFile() {
	type spot struct {
		path string
		span syntax.Span
	}
	told := map[spot]bool{}
	l.messages = slices.DeleteFunc(l.messages, func(m syntax.Message) bool {
		in := l.instanceOf[m.File]
		if in == nil {
			return false
		}
		at := spot{m.File.Path, m.Span}
		again := told[at]
		told[at] = true
		return again
	})
	for i := range l.messages {
		m := &l.messages[i]
		in := l.instanceOf[m.File]
		if in == nil {
			continue
		}
		m.Also = slices.DeleteFunc(m.Also, func(n syntax.Note) bool { return n.Text == usedToo && told[spot{n.File.Path, n.Span}] })
		if len(m.Also) == 0 {
			m.Also = append(m.Also, place{in.file, in.use.Span}.note("the file is taken in here"))
		}
	}
}
