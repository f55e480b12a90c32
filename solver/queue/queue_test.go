package queue

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// TestLeast compares random pushes and pops with a list that is sorted each time.
func TestLeast(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	var q Least[float64]
	var list []float64
	for range 20_000 {
		if len(list) > 0 && rng.IntN(5) < 2 {
			slices.Sort(list)
			if q.Top() != list[0] || *q.First() != list[0] {
				t.Fatalf("first is %v, by %v, want %v", *q.First(), q.Top(), list[0])
			}
			if got := q.Pop(); got != list[0] {
				t.Fatalf("got %v, want %v", got, list[0])
			}
			list = list[1:]
		} else {
			v := float64(rng.IntN(1000))
			q.Push(v, &v)
			list = append(list, v)
		}
		if rng.IntN(5000) == 0 {
			q.Reset()
			list = nil
		}
		if q.Len() != len(list) {
			t.Fatalf("%d in it, want %d", q.Len(), len(list))
		}
	}
}
