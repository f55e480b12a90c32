package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"barover/render/report/figures"
	"barover/sketch/assembled"
	"barover/sketch/picture"
	"barover/sketch/quantity"
)

// scanAnswer is what a picture of the old drawing says of it.
type scanAnswer struct {
	File     string         `json:"file"`
	Line     int            `json:"line"`
	PerPixel figures.Figure `json:"per_pixel"` // how large a pixel is on the engine
	Scale    figures.Figure `json:"scale"`     // paper to engine; null where the file does not say how large its paper is
	Stretch  figures.Figure `json:"stretch"`   // by how much it is longer one way than square to it; null where two places were given
}

func scansOf(e *assembled.Engine) []scanAnswer {
	return figures.Each(e.Scans, func(s *picture.Scan) scanAnswer {
		a := scanAnswer{File: s.File, Line: e.Line(s.Stmt), PerPixel: figures.Of(e.Units, s.PerPixel(), quantity.Length), Scale: figures.Figure(math.NaN()), Stretch: figures.Figure(math.NaN())}
		if v := s.Scale(); v > 0 {
			a.Scale = figures.Figure(v)
		}
		if s.Three {
			a.Stretch = figures.Figure(s.Stretch())
		}
		return a
	})
}

// scansText says at which scale each picture was drawn, to 0.1 %, and how much it is stretched.
func (r *Report) scansText() string {
	var lines []string
	for _, s := range r.Scans {
		unit := map[string]string{"in": " in", "mm": " mm"}[r.Units]
		text := fmt.Sprintf("%s: a pixel is %s%s on the engine", s.File, strconv.FormatFloat(float64(s.PerPixel), 'g', 4, 64), unit)
		if s.Scale.Missing() {
			text += "; its file does not say how large the paper is"
		} else {
			text += "; drawn at " + scaleWords(float64(s.Scale)) + " by what its file says of the paper"
		}
		if !s.Stretch.Missing() {
			text += fmt.Sprintf("; longer one way than square to it by %.1f %%", 100*float64(s.Stretch))
		} else {
			text += "; three places would tell whether it is stretched one way"
		}
		lines = append(lines, text+". Paper is no measure: work to the figures.")
	}
	return strings.Join(lines, "\n")
}

// scaleWords writes a scale to a tenth of a per cent: 1:2.003, or 1.998:1.
func scaleWords(v float64) string {
	if v >= 1 {
		return strconv.FormatFloat(v, 'g', 4, 64) + ":1"
	}
	return "1:" + strconv.FormatFloat(1/v, 'g', 4, 64)
}
