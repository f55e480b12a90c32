package outline

import (
	"testing"

	"pgregory.net/rapid"

	"barover/solver/expr"
)

// TestWitnessBesideACorner: a disc faces the corner of a path at which a flat ends, square to the flat except for rounding. The
// place named must lie on the path, whichever of the two has the gap.
func TestWitnessBesideACorner(t *testing.T) {
	d := &draft{}
	const hair = 2.9802322387695312e-08
	disc := []Shape{d.disc(1, hair, 1)}
	path := []Shape{d.path(1, 0, leg{2, 0, 1.5, false}, leg{x: 2, y: 1}, leg{x: 1, y: 10})}
	v := expr.Resolve(&d.Graph, nil)
	a, b := must(t, disc, v), must(t, path, v)
	rapid.Check(t, func(t *rapid.T) {
		off := rapid.Float64Range(-1, 1).Draw(t, "off") * 3e-8
		pa, pb := placed(1, hair, hair/4), placed(2-hair+off, hair-off, 1)
		n := Distance(a, pa, b, pb)
		if e := offBoundary(a, pa.In(n.P)) + offBoundary(b, pb.In(n.Q)); e > 1e-12 {
			t.Fatalf("the nearest places lie %g off the boundaries", e)
		}
	})
}

func must(t *testing.T, shapes []Shape, v *expr.Values) *Region {
	t.Helper()
	r, err := Build(shapes, v)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
