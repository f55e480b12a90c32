package change

import (
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
