package figures

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"barover/render/terminal"
	"barover/sketch/quantity"
)

func TestDegreesLoseNoDigitAndGainNone(t *testing.T) {
	for deg := -720; deg <= 720; deg++ {
		for _, part := range []float64{0, 0.5, 0.25, 0.001, 0.000001} {
			want := float64(deg) + part
			if got := Degrees(want * (math.Pi / 180)); got != want {
				t.Fatalf("%v degrees come back as %v", want, got)
			}
		}
	}
	const turn = 1.0907830786251245 // no round number of degrees: it must come out as it is
	if got, want := Degrees(turn), turn*(180/math.Pi); got != want {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestFigures(t *testing.T) {
	in, mm := quantity.Units{Inches: true}, quantity.Units{}
	nan := Figure(math.NaN())
	tests := []struct {
		f    Figure
		u    quantity.Units
		k    quantity.Kind
		read string
		json string
	}{
		{0.0690939861, in, quantity.Length, "0.0691", "0.0690939861"},
		{0.03125, in, quantity.Length, "0.0313", "0.03125"},
		{-0.09374999999999999, in, quantity.Length, "-0.0938", "-0.09374999999999999"},
		{-0.03125, in, quantity.Length, "-0.0313", "-0.03125"},
		{1.755, mm, quantity.Length, "1.755", "1.755"},
		{62.546, mm, quantity.Angle, "62.55", "62.546"},
		{0.75, mm, quantity.Plain, "0.7500", "0.75"},
		{-0.00001, in, quantity.Length, "0.0000", "-0.00001"},
		{Figure(math.Copysign(0, -1)), mm, quantity.Length, "0.000", "0"},
		{3e12, mm, quantity.Length, "3e+12", "3000000000000"},
		{nan, mm, quantity.Length, "–", "null"},
		{Figure(math.Inf(-1)), mm, quantity.Length, "–", "null"},
	}
	for _, tt := range tests {
		if got := tt.f.Read(tt.u, tt.k); got != tt.read {
			t.Errorf("%v reads %q, want %q", float64(tt.f), got, tt.read)
		}
		b, err := json.Marshal(tt.f)
		if err != nil || string(b) != tt.json {
			t.Errorf("%v is %s in JSON, want %s (%v)", float64(tt.f), b, tt.json, err)
		}
	}
}

func TestNamedFiguresKeepTheirOrder(t *testing.T) {
	n := List{{Name: "crank", Value: 62.5}, {Name: "axle", Value: Figure(math.NaN())}, {Name: "a\"b", Value: 1}}
	b, err := json.Marshal(n)
	if want := `{"crank":62.5,"axle":null,"a\"b":1}`; err != nil || string(b) != want {
		t.Errorf("got %s, want %s (%v)", b, want, err)
	}
}

// Lengths as a drawing would have them, and by their nearest 64th: exact and nearest are told apart.
func TestFractions(t *testing.T) {
	in, mm := quantity.Units{Inches: true}, quantity.Units{}
	nan := Figure(math.NaN())
	for _, tt := range []struct {
		f          Figure
		u          quantity.Units
		k          quantity.Kind
		size, near string
	}{
		{0.0625, in, quantity.Length, "1/16", "1/16"},
		{0.0690939861, in, quantity.Length, "0.0691", "~1/16"},
		{-0.1367, in, quantity.Length, "-0.1367", "~-9/64"},
		{7.875, in, quantity.Length, "7 7/8", "7 7/8"},
		{0.003, in, quantity.Length, "0.003", ""},
		{0, in, quantity.Length, "0", "0"},
		{0.015, in, quantity.Length, "0.015", "~1/64"},
		{1.5, mm, quantity.Length, "1.5", ""},
		{-22, in, quantity.Angle, "-22°", ""},
		{0.25, in, quantity.Plain, "0.25", ""},
		{nan, in, quantity.Length, "–", ""},
		{3e12, in, quantity.Length, "3e+12", "~3e+12"},
	} {
		if size, near := tt.f.Size(tt.u, tt.k), tt.f.Near(tt.u, tt.k); size != tt.size || near != tt.near {
			t.Errorf("%v is %q, by 64ths %q; want %q, %q", float64(tt.f), size, near, tt.size, tt.near)
		}
	}
}

func TestMarkdownIsEscaped(t *testing.T) {
	for text, want := range map[string]string{
		"pin | past": `pin \| past`, "a\nb": "a b", "2*3 _x_ `y` <b> #1 ~z~": "2\\*3 \\_x\\_ \\`y\\` \\<b\\> \\#1 \\~z\\~", "plain, 1/16°": "plain, 1/16°",
	} {
		if got := terminal.Escaped(text); got != want {
			t.Errorf("%q is escaped as %q, want %q", text, got, want)
		}
	}
	for text, want := range map[string]string{"keep x(p)*2": "`keep x(p)*2`", "a`b": "a\\`b", "": "", "–": "–"} {
		if got := terminal.Coded(text); got != want {
			t.Errorf("%q is coded as %q, want %q", text, got, want)
		}
	}
}

// A mixed number is not parted at the end of a line.
func TestFoldedKeepsMixedNumbers(t *testing.T) {
	got := terminal.Folded("rod 4 3/4 for 3 1/2 or so", "", 9)
	want := []string{"rod 4 3/4", "for 3 1/2", "or so"}
	if len(got) != len(want) {
		t.Fatalf("%q, want %q", got, want)
	}
	for i := range got {
		if got[i] != want[i] {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// TestHalvesRoundAlike: a length that ends in half of the last place reads the same as a size and as a figure, whatever its change from
// mm takes off it or adds.
func TestHalvesRoundAlike(t *testing.T) {
	u := quantity.Units{Inches: true}
	for n := range 40_000 {
		mm := float64(n) * 0.00005 * quantity.MmPerInch
		read := strings.TrimSuffix(strings.TrimRight(Of(u, mm, quantity.Length).Read(u, quantity.Length), "0"), ".")
		if got := u.Figure(mm); got != read && read != "" {
			t.Fatalf("%v in: %s as a size, %s as a figure", float64(n)*0.00005, got, read)
		}
	}
}
