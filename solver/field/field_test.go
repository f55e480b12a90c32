package field_test

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/field"
	"barover/solver/machine"
	"barover/solver/trial/draws"
	"barover/solver/trial/engine"
)

var (
	seed   = flag.Uint64("seed", 7, "seed of the random tests")
	fields = flag.Int("fields", draws.Of(12), "how many random fields TestFields looks over; 200 is the long form")
)

// The room of a rod beside a bearing, in closed form: the gap is |out − at| − (thick + bearing)/2 and must be from 1 to 9. No cell that
// is said to hold, or to fall short, has a corner on the other side of that.
func TestGapInClosedForm(t *testing.T) {
	e := engine.New()
	q := field.Query{Problem: e.Problem, Vary: e.Vary(), Dims: [2]int{e.Number("rod_out"), e.Number("rod_thick")}, Now: [2]float64{12, 4},
		From: [2]float64{8, 1}, To: [2]float64{24, 9}, Checks: []int{engine.Beside}, Depth: 5}
	a, err := field.Seek(t.Context(), q, machine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	count := map[field.State]float64{}
	for _, c := range a.Cells {
		count[c.State] += (c.To[0] - c.From[0]) * (c.To[1] - c.From[1])
		for _, x := range [2]float64{c.From[0], c.To[0]} {
			for _, y := range [2]float64{c.From[1], c.To[1]} {
				gap := math.Abs(x-4) - (y+5)/2
				ok := gap >= 1-1e-4 && gap <= 9+1e-4
				if c.State == field.Holds && !ok || c.State == field.Short && gap > 1 && gap < 9 {
					t.Errorf("%v at %g, %g: the gap is %g", c, x, y, gap)
				}
			}
		}
	}
	if open := count[field.Open] / (16 * 8); open > 0.2 || count[field.Holds] == 0 || count[field.Short] == 0 {
		t.Errorf("%v of the field: %.2f open", count, open)
	}
	t.Logf("%v, best %v with %v about it", count, a.Best, a.Room)
	if gap := math.Abs(a.Best[0]-4) - (a.Best[1]+5)/2; !(gap > 1 && gap < 9) || a.Room <= 0 {
		t.Errorf("best %v: the gap is %g", a.Best, gap)
	}
}

// TestFields looks over random fields of two dimensions of an engine and solves it at places in every kind of cell: none in a cell that
// holds falls short, none in one that falls short holds.
func TestFields(t *testing.T) {
	rng := rand.New(rand.NewPCG(*seed, 1))
	names := []string{"throw", "rod", "rod_deep", "rod_shallow", "mouth", "half_bore", "lip_room", "rod_out", "rod_thick", "bearing_at", "bearing_thick", "pin_length", "cover"}
	var share [3]float64
	for k := range *fields {
		e := engine.New()
		i := rng.IntN(len(names))
		j := (i + 1 + rng.IntN(len(names)-1)) % len(names)
		q := field.Query{Problem: e.Problem, Vary: e.Vary(), Dims: [2]int{e.Number(names[i]), e.Number(names[j])}}
		for n, name := range [2]string{names[i], names[j]} {
			v := e.Value(name)
			half := math.Abs(v) * (0.02 + 0.4*rng.Float64())
			at := v + half*(1.6*rng.Float64()-0.8)
			q.Now[n], q.From[n], q.To[n] = v, at-half, at+half
		}
		a, err := field.Seek(t.Context(), q, machine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		whole := (q.To[0] - q.From[0]) * (q.To[1] - q.From[1])
		covered := 0.0
		for _, c := range a.Cells {
			part := (c.To[0] - c.From[0]) * (c.To[1] - c.From[1]) / whole
			share[c.State] += part / float64(*fields)
			covered += part
			if c.State == field.Open {
				continue
			}
			for range 3 {
				at := map[int]float64{}
				for n := range 2 {
					u := rng.Float64()
					if rng.IntN(3) == 0 {
						u = float64(rng.IntN(2)) // the very edge
					}
					at[q.Dims[n]] = c.From[n] + u*(c.To[n]-c.From[n])
				}
				if ok := solves(t, &q, at); ok != (c.State == field.Holds) {
					t.Errorf("field %d of %s and %s: %v holds: %v, in %+v", k, names[i], names[j], at, ok, c)
				}
			}
		}
		if len(a.Never) == 0 && math.Abs(covered-1) > 1e-9 {
			t.Errorf("field %d: the cells cover %v of it", k, covered)
		}
	}
	t.Logf("of the fields %.3f holds, %.3f falls short, %.3f is open", share[field.Holds], share[field.Short], share[field.Open])
}

// solves answers the checks of an engine with some values; false where one does not hold, or it cannot be solved or assembled.
func solves(t *testing.T, q *field.Query, at map[int]float64) bool {
	t.Helper()
	m, err := q.Vary.Machine(at)
	if err != nil {
		return false
	}
	var all []int
	for i := range q.Problem.Checks {
		all = append(all, i)
	}
	res, err := m.Some(t.Context(), machine.Options{}, all)
	if err != nil {
		t.Fatal(err)
	}
	return res.OK()
}
