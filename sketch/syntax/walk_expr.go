package syntax

import "strings"

// MentionsPi reports whether pi is one of the figures of a sum.
func MentionsPi(x Expr) bool {
	found := false
	EachRef(x, func(r *Ref) { found = found || r.Name.Text == "pi" })
	return found
}

// Bracketed puts a sum in brackets unless it is a single figure.
func Bracketed(text string) string {
	if strings.ContainsAny(text, "+-*/^ ") {
		return "(" + text + ")"
	}
	return text
}

// EachRef visits the figures of a sum.
func EachRef(x Expr, visit func(*Ref)) {
	switch x := x.(type) {
	case *Ref:
		visit(x)
	case *Unary:
		EachRef(x.X, visit)
	case *Binary:
		EachRef(x.X, visit)
		EachRef(x.Y, visit)
	case *Call:
		for _, arg := range x.Args[min(len(NamesIn(x)), len(x.Args)):] {
			EachRef(arg, visit)
		}
	}
}

// QualifiedOf reads a name of PART.PROFILE.
func QualifiedOf(n Name) Qualified {
	q := Qualified{Part: n, Span: n.Span}
	if i := strings.LastIndexByte(n.Text, '.'); i > 0 {
		q.Part = Name{Text: n.Text[:i], Span: n.Span}
		q.Profile = &Name{Text: n.Text[i+1:], Span: n.Span}
	}
	return q
}

// ShownName is how a profile, or a part with all its profiles, is written.
func ShownName(q Qualified) string {
	if q.Profile == nil {
		return q.Part.Text
	}
	return q.Part.Text + "." + q.Profile.Text
}

// TextOf is how a sum was written, on one line and not too long.
func TextOf(f *File, x Expr) string { return SpanText(f, x.Where()) }

// SpanText is a stretch of the text, on one line and not too long.
func SpanText(f *File, span Span) string {
	text := strings.Join(strings.Fields(f.SpanText(span)), " ")
	if r := []rune(text); len(r) > 40 {
		return string(r[:39]) + "…"
	}
	return text
}

// IsFraction reports whether a sum is one number that is written as a fraction.
func IsFraction(file *File, x Expr) bool {
	n, ok := x.(*Number)
	return ok && strings.ContainsAny(file.SpanText(n.Span), "/¼½¾⅛⅜⅝⅞")
}

// NamesIn is what the first arguments of a function must name.
func NamesIn(x *Call) []Named {
	f, _ := LookUpFunction(x.Func.Text)
	return f.Names
}
