package main

import (
	"encoding/json"
	"math"
	"testing"
)

const valveMid, steamLap = 10.12663, 0.125

// leads are how far the ports are open at the dead centres.
func (g radialGear) leads(t *testing.T) (front, back float64) {
	return valveMid - g.valve(t, 0) - steamLap, g.valve(t, 180) - valveMid - steamLap
}

// apart is the greatest difference of the leads in any notch.
func apart(t *testing.T, eccRod float64) (most float64) {
	for _, reverser := range []float64{-22, -11, 0, 11, 22} {
		front, back := gearOf(eccRod, reverser).leads(t)
		most = math.Max(most, math.Abs(front-back))
	}
	return most
}

// TestLarkspurEqualLeads: seek finds from a wrong start the lengths of the eccentric rod with which the leads are equal to half a
// thou in every notch, and the table of settings has the leads; both agree with a gear that is solved apart.
func TestLarkspurEqualLeads(t *testing.T) {
	out, _ := barover(t, "seek", larkspur, "ecc_rod", "--for", "equal leads", "--case", "running", "--set", "ecc_rod=6.04", "--json")
	var sought struct{ Ranges []struct{ From, To float64 } }
	if err := json.Unmarshal([]byte(out), &sought); err != nil || len(sought.Ranges) != 1 {
		t.Fatalf("%v: %s", err, out)
	}
	edge := func(inside, outside float64) float64 {
		for range 40 {
			if m := (inside + outside) / 2; apart(t, m) <= 0.0005 {
				inside = m
			} else {
				outside = m
			}
		}
		return inside
	}
	middle := 6.0177
	if from, to := edge(middle, 6.0), edge(middle, 6.04); math.Abs(sought.Ranges[0].From-from) > 1e-5 || math.Abs(sought.Ranges[0].To-to) > 1e-5 {
		t.Errorf("the leads are equal with an eccentric rod from %.6f to %.6f; apart, from %.6f to %.6f", sought.Ranges[0].From, sought.Ranges[0].To, from, to)
	}
	out, _ = barover(t, "table", larkspur, "--settings", "--json")
	var table struct {
		Rows []struct {
			At    struct{ Reverser float64 }
			Shows struct {
				Lead struct{ Front, Back float64 }
			}
		}
	}
	if err := json.Unmarshal([]byte(out), &table); err != nil || len(table.Rows) != 5 {
		t.Fatalf("%v: %s", err, out)
	}
	for _, row := range table.Rows {
		front, back := gearOf(6.01725, row.At.Reverser).leads(t)
		if math.Abs(row.Shows.Lead.Front-front) > 1e-9 || math.Abs(row.Shows.Lead.Back-back) > 1e-9 {
			t.Errorf("at %v the leads are %.9f and %.9f; apart, %.9f and %.9f", row.At.Reverser, row.Shows.Lead.Front, row.Shows.Lead.Back, front, back)
		}
	}
}
