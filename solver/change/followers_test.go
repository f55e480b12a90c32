package change_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"barover/solver/change"
	"barover/solver/trial/engine"
)

// followed lists followers by their names.
func followed(e *engine.Engine, list []change.Follower) map[string][]string {
	out := map[string][]string{}
	for _, f := range list {
		from := []string{}
		for _, d := range f.From {
			from = append(from, e.Problem.Dims[d].Name)
		}
		out[e.Problem.Dims[f.Dim].Name] = from
	}
	return out
}

// pin_length is rod_out less bearing_at, and cover throw + rod + 1: who follows whom, and that what is made follows nobody.
func TestFollowers(t *testing.T) {
	tests := []struct {
		name string
		set  map[string]float64
		want map[string][]string
	}{
		{"nothing", nil, map[string][]string{}},
		{"one", map[string]float64{"rod_out": 13}, map[string][]string{"pin_length": {"rod_out"}}},
		{"two of one", map[string]float64{"throw": 25, "rod": 128}, map[string][]string{"cover": {"rod", "throw"}}},
		{"one of several", map[string]float64{"throw": 25, "half_bore": 16}, map[string][]string{"cover": {"throw"}}},
		{"made already", map[string]float64{"rod_out": 13, "pin_length": 8}, map[string][]string{}},
		{"the two undo one another", map[string]float64{"rod_out": 13, "bearing_at": 5}, map[string][]string{}},
	}
	for _, tt := range tests {
		before, after := engine.New(), engine.New()
		was := map[int]float64{}
		for i := range before.Problem.Dims {
			was[i] = before.Values().At(before.Problem.Graph.Dims[i])
		}
		var changed []int
		for i, d := range before.Problem.Dims {
			if v, ok := tt.set[d.Name]; ok {
				after.Set(d.Name, v)
				changed = append(changed, i)
			}
		}
		if diff := cmp.Diff(tt.want, followed(after, change.Followers(side(after), was, changed))); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
		c := compare(t, side(before), side(after))
		if diff := cmp.Diff(tt.want, followed(after, c.Followers)); diff != "" {
			t.Errorf("%s, compared (-want +got):\n%s", tt.name, diff)
		}
		for _, f := range c.Followers {
			if name := after.Problem.Dims[f.Dim].Name; f.Before != before.Value(name) || f.After != after.Value(name) {
				t.Errorf("%s, %s: from %v to %v, want from %v to %v", tt.name, name, f.Before, f.After, before.Value(name), after.Value(name))
			}
		}
	}
}
