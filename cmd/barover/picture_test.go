//go:build amd64 && !amd64.v3

package main

import (
	"barover/render/report"
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// TestPictures: the pictures, of which the README shows one, are what `draw` makes of the examples, byte for byte, so that
// they show the program as it is. One has no foul, the other has numbered flags. Figures are rounded to thousandths of a
// millimetre of paper, but the machine's floating point is behind them: where a product and a sum are fused into one
// rounding, as the compiler does for arm64 and for amd64.v3, a last digit may differ. So the bytes are those of plain
// amd64, and are compared there alone.
func TestPictures(t *testing.T) {
	for _, name := range []string{"tansy", "launch-engine"} {
		picture := filepath.Join("../../testdata/pictures", name+".svg")
		drawn := filepath.Join(t.TempDir(), name+".svg")
		if _, status := barover(t, "draw", filepath.Join(exampleFolder, name+".motion"), "-o", drawn); status != report.AllHolds {
			t.Fatalf("%s: status %d", name, status)
		}
		got, err := os.ReadFile(drawn)
		if err != nil {
			t.Fatal(err)
		}
		if *update {
			if err := os.WriteFile(picture, got, 0o666); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(picture)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s is %d bytes, and draw now makes %d that differ from byte %d on: draw it anew with -update", picture, len(want), len(got), firstOther(got, want))
		}
	}
}

// firstOther is where two texts begin to differ.
func firstOther(a, b []byte) int {
	n := 0
	for n < min(len(a), len(b)) && a[n] == b[n] {
		n++
	}
	return n
}
