package sketch

import (
	"fmt"
	"math"

	"barover/sketch/fits"
	"barover/sketch/quantity"
	"barover/sketch/syntax"
)

// tolerance is how far off the part may be by its dim line. A fit is taken at the value asked for.
func (l *loader) tolerance(d *dimension, out *Dim, at func(syntax.Expr) float64) Tol {
	s := d.dim
	switch {
	case s.PlusMinus != nil:
		return Tol{Given: true, Lower: -at(s.PlusMinus), Upper: at(s.PlusMinus)}
	case s.Lower != nil:
		t := Tol{Given: true, Lower: at(s.Lower), Upper: at(s.Upper)}
		if t.Lower > t.Upper {
			l.tell(l.at(d.stmt, s.Lower.Where()), fmt.Sprintf("the lower deviation of %s, %s, is above the upper one, %s", d.name,
				l.sketch.Units.Value(t.Lower, out.Kind), l.sketch.Units.Value(t.Upper, out.Kind)), fmt.Sprintf("write the lower one first: tol %s to %s", syntax.TextOf(l.fileOf(d), s.Upper), syntax.TextOf(l.fileOf(d), s.Lower)))
		}
		return t
	case s.Fit.Given:
		return l.fit(d, out)
	}
	return Tol{}
}

// fit takes the deviations of a fit from the tables.
func (l *loader) fit(d *dimension, out *Dim) Tol {
	at := l.at(d.stmt, d.dim.Fit.Span)
	if l.kinds.IsBroken(d.variable) || math.IsNaN(out.Asked) {
		return Tol{}
	}
	if !out.Kind.Is(quantity.Length) {
		l.tell(at, fmt.Sprintf("a fit is for lengths, and %s is %s", d.name, out.Kind), "write its tolerance as ± V or tol V to V")
		return Tol{}
	}
	lower, upper, err := fits.Deviations(d.dim.Fit.Text, out.Asked)
	if err != nil {
		l.tell(at, err.Error(), fits.Help(d.dim.Fit.Text))
		return Tol{}
	}
	return Tol{Given: true, Lower: lower, Upper: upper, Fit: d.dim.Fit.Text}
}
