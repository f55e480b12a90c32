package sweep

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/plane"
)

// TestPlaceInConvex tries random polygons on a small grid, so that many places are corners or lie on edges, against every edge.
func TestPlaceInConvex(t *testing.T) {
	rng := rand.New(rand.NewPCG(20260517, 3))
	corner := func() plane.Vec { return plane.Vec{X: float64(rng.IntN(12)), Y: float64(rng.IntN(12))} }
	var seen [3]int
	for range 3000 {
		var set []plane.Vec
		for range 3 + rng.IntN(15) {
			set = append(set, corner())
		}
		q := Hull(set)
		if len(q) < 3 {
			continue
		}
		a, b := corner(), corner()
		least, along := math.Inf(1), false
		for i, f := range q {
			e := q[(i+len(q)-1)%len(q)]
			from := f.Sub(e).Cross(a.Sub(e))
			least = min(least, from)
			along = along || from == 0 && f.Sub(e).Cross(b.Sub(e)) == 0 && f.Sub(e).Dot(b.Sub(a)) > 0
		}
		want := onEdge
		if least != 0 {
			want = map[bool]int{true: within, false: beyond}[least > 0]
		}
		where, edge := q.place(a)
		if seen[want]++; where != want {
			t.Fatalf("%v in %v: %d, want %d", a, q, where, want)
		}
		if other, _ := q.place(b); where == onEdge && other == onEdge && a != b && q.along(edge, a, b) != along {
			t.Fatalf("from %v to %v along %v: want %v", a, b, q, along)
		}
	}
	if min(seen[beyond], seen[onEdge], seen[within]) < 200 {
		t.Errorf("only %v places beyond, on an edge and within", seen)
	}
}
