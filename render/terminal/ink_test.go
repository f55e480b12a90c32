package terminal

import "testing"

func TestColourIsNeverAlone(t *testing.T) {
	with, without := Ink(true), Ink(false)
	if got := with.In(Red, "fouls"); got != Red+"fouls"+Reset {
		t.Errorf("got %q", got)
	}
	if got := without.In(Red, "fouls"); got != "fouls" {
		t.Errorf("got %q", got)
	}
}
