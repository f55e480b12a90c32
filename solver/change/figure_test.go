package change

import (
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
)

// TestMendedTellsWhatFellShort: a sum between 1/16 and 3/16 in that was below and is within, nearer to its upper limit now, is told by its
// least before and after: the figure by which it fell short, as an answer about the engine before has it.
func TestMendedTellsWhatFellShort(t *testing.T) {
	p := &solver.Problem{Checks: []solver.Check{{Kind: solver.Keep, Sum: expr.None}}}
	finding := func(least, greatest float64, ok bool) *solver.Finding {
		return &solver.Finding{AtLeast: 0.0625, AtMost: 0.1875, Least: least, Greatest: greatest, OK: ok, Sure: solver.Proved}
	}
	was, is := finding(-0.1250, -0.1229, false), finding(0.1250, 0.1271, true)
	if j := p.Judge(is); !j.Upper {
		t.Fatalf("%v is nearer to its upper limit", j)
	}
	d, changed := difference(p, was, p, is)
	if !changed || d.Upper || d.Was != p.Judge(was).Worst || d.Is != 0.1250 || d.Together != 0.25 {
		t.Errorf("mended: %+v", d)
	}
	if d, _ := difference(p, is, p, was); d.Upper || d.Was != 0.1250 || d.Is != -0.1250 {
		t.Errorf("falls short now: %+v", d)
	}
}

// TestEndWithoutALimit: a sum that is to stay below 6 and has its greatest where it was is told as no change, whatever its least does.
// Where its least has a limit as well, it is told by how near it comes to that.
func TestEndWithoutALimit(t *testing.T) {
	p := &solver.Problem{Checks: []solver.Check{{Kind: solver.Keep, Sum: expr.None}}}
	finding := func(atLeast, least float64) *solver.Finding {
		return &solver.Finding{AtLeast: atLeast, AtMost: 6, Least: least, Greatest: 5.2, OK: true, Sure: solver.Proved}
	}
	if d, changed := difference(p, finding(math.NaN(), 2.4), p, finding(math.NaN(), 1.4)); changed {
		t.Errorf("nothing that is asked changed: %+v", d)
	}
	if d, changed := difference(p, finding(0, 2.4), p, finding(0, 1.4)); !changed || d.Upper || d.Became != solver.Worse {
		t.Errorf("nearer to the lower limit: %+v", d)
	}
	if d, changed := difference(p, finding(0, 1.4), p, finding(0, 2.4)); !changed || d.Upper || d.Became != solver.Better {
		t.Errorf("farther from the lower limit: %+v", d)
	}
}
