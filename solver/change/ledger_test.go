package change_test

import (
	"context"
	"slices"
	"testing"

	"barover/solver/change"
	"barover/solver/machine"
	"barover/solver/trial/engine"
)

var ctx = context.Background()

// A pin made for the rod where it was drawn, and a bar left where it is: what each difference moves, exactly.
func TestLedger(t *testing.T) {
	e := side(engine.New().Set("rod_out", 13.6).Set("pin_length", 8).Set("half_bore", 15.675))
	n := engine.New()
	asked := []change.Asked{{Dim: n.Number("half_bore"), Asked: 15.875}, {Dim: n.Number("pin_length"), Asked: 9.6}}
	entries, now, err := change.Ledger(ctx, e, asked, machine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != 2 || entries[0].Dim != n.Number("pin_length") {
		t.Fatalf("got %+v; want the pin first, which breaks a check", entries)
	}
	pin, bore := entries[0], entries[1]
	if !near(pin.Differs, -1.6, 1e-12) || !slices.Equal(pin.Breaks, []int{engine.Pin}) || len(pin.Moves) != 1 || !near(pin.Moves[0].By, -1.6, 1e-12) {
		t.Errorf("pin: got %+v; want −1.6, which moves its check by as much and breaks it", pin)
	}
	if len(bore.Breaks) != 0 || len(bore.Moves) != 1 || bore.Moves[0].Check != engine.Lip {
		t.Fatalf("bore: got %+v; want it to move the lip's check alone", bore)
	}
	// The lip moves by as much as the bore, except for the slant of the rod.
	if by := bore.Moves[0].By; by > -0.19 || by < -0.2 {
		t.Errorf("the lip moves by %v; want a little less than −0.2", by)
	}
	if now.Findings[engine.Pin].OK {
		t.Error("the pin's check holds as it is")
	}
}

// Where the engine cannot be solved with what is asked, slopes tell, and say so.
func TestLedgerBySlope(t *testing.T) {
	e := side(engine.New())
	entries, _, err := change.Ledger(ctx, e, []change.Asked{{Dim: engine.New().Number("rod"), Asked: 5}}, machine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !entries[0].BySlope || len(entries[0].Moves) == 0 {
		t.Errorf("got %+v; want moves by slope", entries[0])
	}
}

func TestDerived(t *testing.T) {
	e := engine.New()
	for name, want := range map[string]bool{"rod_out": false, "pin_length": true, "cover": true} {
		node := e.Problem.Graph.Dims[e.Number(name)]
		if got := change.Derived(e.Problem, e.Problem.Graph.Nodes[node].A); got != want {
			t.Errorf("%s follows from others: got %v, want %v", name, got, want)
		}
	}
}
