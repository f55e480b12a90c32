package sketch

import (
	"fmt"
	"math"

	"barover/sketch/syntax"
	"barover/solver/expr"
	"barover/solver/outline"
)

// bending makes sums about a middle line that bends from one place to another round a centre.
type bending struct {
	g          *expr.Graph
	from, to   outline.Place
	centre     outline.Place
	radius     expr.ID
	left       bool
	outX, outY expr.ID // unit direction from the centre to the middle of the line
}

// bend makes the sums of a middle line. Where the radius is too small to reach, there is no centre: see bends.
func (l *loader) bend(from, to outline.Place, radius expr.ID, left bool) bending {
	g := l.sum.g
	dx, dy := g.Sub(to.X, from.X), g.Sub(to.Y, from.Y)
	chord := g.Binary(expr.Hypot, dx, dy)
	half := g.Div(chord, g.Const(2))
	// From the middle of the chord to the centre; a half circle has none, whatever rounding says.
	rest := g.Binary(expr.Max, g.Const(0), g.Sub(g.Mul(radius, radius), g.Mul(half, half)))
	back := g.Unary(expr.Sqrt, rest)
	outX, outY := g.Div(dy, chord), g.Unary(expr.Neg, g.Div(dx, chord)) // to the right of the way
	if !left {
		outX, outY = g.Unary(expr.Neg, outX), g.Unary(expr.Neg, outY)
	}
	mid := func(a, b expr.ID) expr.ID { return g.Div(g.Add(a, b), g.Const(2)) }
	centre := outline.Place{X: g.Sub(mid(from.X, to.X), g.Mul(outX, back)), Y: g.Sub(mid(from.Y, to.Y), g.Mul(outY, back))}
	return bending{g, from, to, centre, radius, left, outX, outY}
}

// offset is the place beside one end of the middle line, away from the centre by `by`.
func (b *bending) offset(end outline.Place, by expr.ID) outline.Place {
	g := b.g
	k := g.Div(by, b.radius)
	return outline.Place{X: g.Add(end.X, g.Mul(k, g.Sub(end.X, b.centre.X))), Y: g.Add(end.Y, g.Mul(k, g.Sub(end.Y, b.centre.Y)))}
}

// crowned is the radius of the arc from p to q whose middle has the given distance from the centre.
func (b *bending) crowned(p, q outline.Place, far expr.ID) expr.ID {
	g := b.g
	half := g.Div(g.Binary(expr.Hypot, g.Sub(q.X, p.X), g.Sub(q.Y, p.Y)), g.Const(2))
	up := func(c, a, z expr.ID) expr.ID { return g.Sub(c, g.Div(g.Add(a, z), g.Const(2))) }
	rise := g.Add(far, g.Add(g.Mul(up(b.centre.X, p.X, q.X), b.outX), g.Mul(up(b.centre.Y, p.Y, q.Y), b.outY)))
	return g.Div(g.Add(g.Mul(half, half), g.Mul(rise, rise)), g.Mul(g.Const(2), rise))
}

// length is how long the middle line is.
func (b *bending) length() expr.ID {
	g := b.g
	half := g.Div(g.Binary(expr.Hypot, g.Sub(b.to.X, b.from.X), g.Sub(b.to.Y, b.from.Y)), g.Const(2))
	share := g.Binary(expr.Min, g.Const(1), g.Div(half, b.radius))
	return g.Mul(g.Mul(g.Const(2), b.radius), g.Unary(expr.Asin, share))
}

// bentStrip makes the path of a strip whose middle line bends. A strip of two widths has edges through its ends; midway
// they are as far apart as the strip is wide there.
func (l *loader) bentStrip(line profileLine, out outline.Shape, from, to outline.Place, bend *syntax.Bend, wide, wideTo expr.ID) outline.Shape {
	g := l.sum.g
	b := l.bend(from, to, l.id(bend.Radius), bend.Left)
	half := func(w expr.ID) expr.ID { return g.Div(w, g.Const(2)) }
	w := [2]expr.ID{half(wide), half(wide)}
	if wideTo != expr.None {
		w[1] = half(wideTo)
	}
	outer := [2]outline.Place{b.offset(from, w[0]), b.offset(to, w[1])}
	inner := [2]outline.Place{b.offset(from, g.Unary(expr.Neg, w[0])), b.offset(to, g.Unary(expr.Neg, w[1]))}
	mean := half(g.Add(w[0], w[1]))
	outR, inR := g.Add(b.radius, w[0]), g.Sub(b.radius, w[0])
	if wideTo != expr.None {
		outR = b.crowned(outer[0], outer[1], g.Add(b.radius, mean))
		inR = b.crowned(inner[0], inner[1], g.Sub(b.radius, mean))
	}
	cap := func(at outline.Place, r expr.ID) outline.Step {
		if !out.Round {
			return outline.Step{To: at, Radius: expr.None}
		}
		return outline.Step{To: at, Radius: r, Left: bend.Left}
	}
	out.Kind, out.P[0] = outline.Path, outer[0]
	out.Steps = []outline.Step{
		{To: outer[1], Radius: outR, Left: bend.Left},
		cap(inner[1], w[1]),
		{To: inner[0], Radius: inR, Left: !bend.Left},
		cap(outer[0], w[0]),
	}
	out.Round = false
	l.bent = append(l.bent, bent{l.at(line.stmt, bend.Radius.Where()), from, to, b.radius, w})
	return out
}

// bent is a bent line whose values are checked once all values are known.
type bent struct {
	at       place
	from, to outline.Place
	radius   expr.ID
	half     [2]expr.ID // half its width at either end
}

// bends reports impossible bends: the radius does not reach, or the line is wider than its inner side is round.
func (l *loader) bends() {
	u := l.sketch.Units
	told := map[place]bool{}
	for _, b := range l.bent {
		if told[b.at] || l.impossible(b.from.X, b.from.Y, b.to.X, b.to.Y, b.radius) {
			continue // a slot whose hole is cut is listed twice
		}
		told[b.at] = true
		chord := math.Hypot(l.value(b.to.X)-l.value(b.from.X), l.value(b.to.Y)-l.value(b.from.Y))
		r, w := l.value(b.radius), 2*math.Max(l.value(b.half[0]), l.value(b.half[1]))
		switch {
		case chord == 0:
			l.tell(b.at, "it goes from a place to itself", "give two places")
		case chord > 2*r*(1+1e-9):
			l.tell(b.at, fmt.Sprintf("a bend of radius %s cannot reach over %s", u.Length(r), u.Length(chord)), fmt.Sprintf("the radius must be %s at the least", u.Length(chord/2)))
		case w >= 2*r:
			l.tell(b.at, fmt.Sprintf("with %s its width is no less than twice the radius %s of the bend", u.Length(w), u.Length(r)), "make the radius larger, or the width smaller")
		}
	}
}
