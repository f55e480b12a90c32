package main

import (
	"encoding/json"
	"math"
	"testing"

	"barover/sketch"
)

func TestDegreesLoseNoDigitAndGainNone(t *testing.T) {
	for deg := -720; deg <= 720; deg++ {
		for _, part := range []float64{0, 0.5, 0.25, 0.001, 0.000001} {
			want := float64(deg) + part
			if got := degrees(want * (math.Pi / 180)); got != want {
				t.Fatalf("%v degrees come back as %v", want, got)
			}
		}
	}
	const turn = 1.0907830786251245 // no round number of degrees: it must come out as it is
	if got, want := degrees(turn), turn*(180/math.Pi); got != want {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestFigures(t *testing.T) {
	in, mm := sketch.Units{Inches: true}, sketch.Units{}
	nan := figure(math.NaN())
	tests := []struct {
		f    figure
		u    sketch.Units
		k    sketch.Kind
		read string
		json string
	}{
		{0.0690939861, in, sketch.Length, "0.0691", "0.0690939861"},
		{0.03125, in, sketch.Length, "0.0313", "0.03125"},
		{-0.09374999999999999, in, sketch.Length, "-0.0938", "-0.09374999999999999"},
		{-0.03125, in, sketch.Length, "-0.0313", "-0.03125"},
		{1.755, mm, sketch.Length, "1.755", "1.755"},
		{62.546, mm, sketch.Angle, "62.55", "62.546"},
		{0.75, mm, sketch.Plain, "0.7500", "0.75"},
		{-0.00001, in, sketch.Length, "0.0000", "-0.00001"},
		{figure(math.Copysign(0, -1)), mm, sketch.Length, "0.000", "0"},
		{3e12, mm, sketch.Length, "3e+12", "3000000000000"},
		{nan, mm, sketch.Length, "–", "null"},
		{figure(math.Inf(-1)), mm, sketch.Length, "–", "null"},
	}
	for _, tt := range tests {
		if got := tt.f.read(tt.u, tt.k); got != tt.read {
			t.Errorf("%v reads %q, want %q", float64(tt.f), got, tt.read)
		}
		b, err := json.Marshal(tt.f)
		if err != nil || string(b) != tt.json {
			t.Errorf("%v is %s in JSON, want %s (%v)", float64(tt.f), b, tt.json, err)
		}
	}
}

func TestNamedFiguresKeepTheirOrder(t *testing.T) {
	n := namedFigures{{name: "crank", value: 62.5}, {name: "axle", value: figure(math.NaN())}, {name: "a\"b", value: 1}}
	b, err := json.Marshal(n)
	if want := `{"crank":62.5,"axle":null,"a\"b":1}`; err != nil || string(b) != want {
		t.Errorf("got %s, want %s (%v)", b, want, err)
	}
}
