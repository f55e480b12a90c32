package serve

import (
	"fmt"
	"time"

	"barover/render/report/variants"
	"barover/solver/field"
	"barover/solver/machine"
)

// mostLooked bounds how long a page waits for a map. It is well below the time limit of an answer.
const mostLooked = 10 * time.Second

// askMap is the map of two dimensions: ?x=3&y=7, by their numbers. It ends when the page no longer asks.
func askMap(q *question) (string, []byte, error) {
	var dims [2]int
	for k, name := range [2]string{"x", "y"} {
		var err error
		if dims[k], err = q.number(name, len(q.v.e.Dims)); err != nil {
			return "", nil, err
		}
	}
	if dims[0] == dims[1] {
		return "", nil, errAsked
	}
	b, err := q.v.kept(fmt.Sprint("map ", dims), func() ([]byte, error) {
		ask := variants.FieldQuery(q.v.e, dims)
		ask.Until = time.Now().Add(mostLooked)
		a, err := field.Seek(q.r.Context(), *ask, machine.Options{Workers: 1}) // requests that turn the engine come first
		if err != nil {
			return nil, err
		}
		_, b, err := inJSON(variants.FieldOf(q.v.e, "", ask, a).OnPage(), nil)
		return b, err
	})
	return "application/json", b, err
}
