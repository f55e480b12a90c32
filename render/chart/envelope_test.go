package chart

import (
	"math"
	"testing"

	"barover/render/drawing"
	"barover/solver/plane"
)

// TestEnvelopeHasGaps: what is not known is left open and told in a word, what is open above alone has its lower line, and nothing is filled
// beside what is known.
func TestEnvelopeHasGaps(t *testing.T) {
	nan := math.NaN()
	low := []float64{1, 1, nan, nan, nan, 1, 1, 1, 1}
	high := []float64{2, 2, nan, nan, nan, 2, 2, nan, nan}
	e := &Envelope{Name: "every engine", Gap: "not proved"}
	for i := range low {
		e.Low, e.High = append(e.Low, plane.Vec{X: float64(i), Y: low[i]}), append(e.High, plane.Vec{X: float64(i), Y: high[i]})
	}
	c := Chart{X: Axis{To: 8}, Y: Axis{From: 0, To: 3}, Within: e}
	d := drawing.New("", 200, 200)
	l := d.Layer("l", "l")
	Draw(l, drawing.Box{Min: plane.Vec{X: 20, Y: 20}, Max: plane.Vec{X: 120, Y: 90}}, c)
	var filled, lines, words, key int
	for _, i := range l.Items {
		switch v := i.(type) {
		case drawing.Shape:
			if v.Style == within {
				filled++
			}
			if v.Style == edge {
				lines++
			}
		case drawing.Text:
			if v.S == "not proved" {
				words++
			}
			if v.S == "every engine" {
				key++
			}
		}
	}
	// The sample in the key is one more fill, and its lines are one shape.
	if filled != 2+1 || lines != 4+1 || words != 1 || key != 1 {
		t.Errorf("%d fills, %d lines, %d words, %d names in the key", filled, lines, words, key)
	}
	c.ScaleY(2)
	if e.Low[0].Y != 2 || e.High[0].Y != 4 {
		t.Errorf("scaled to %v and %v", e.Low[0], e.High[0])
	}
}
