package outline

import (
	"strings"
	"testing"

	"barover/solver/expr"
)

// A profile without area is told by its cause: a path along a straight line has no hole to blame.
func TestNothingLeft(t *testing.T) {
	g := &expr.Graph{}
	at := func(x, y float64) Place { return Place{X: g.Const(x), Y: g.Const(y)} }
	none := Place{X: expr.None, Y: expr.None}
	flat := Shape{Kind: Path, P: [2]Place{at(0, 0), none}, W: [2]expr.ID{expr.None, expr.None},
		Steps: []Step{{To: at(1, 0), Radius: expr.None}, {To: at(2, 0), Radius: expr.None}}}
	disc := Shape{Kind: Disc, P: [2]Place{at(0, 0), none}, W: [2]expr.ID{g.Const(5), expr.None}}
	hole := disc
	hole.Hole = true
	for _, c := range []struct {
		shapes []Shape
		want   string
	}{{[]Shape{flat}, "path"}, {[]Shape{disc, hole}, "holes"}} {
		if _, err := Build(c.shapes, expr.Resolve(g, nil)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v, want a word of the %s", err, c.want)
		}
	}
}
