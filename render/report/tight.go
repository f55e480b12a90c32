package report

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"barover/render/report/figures"
	"barover/sketch/quantity"
	"barover/solver"
)

// tightSpot is a stretch of the turn over which a loose line misses by all but as much as anywhere, degrees, and where
// it misses most.
type tightSpot struct {
	At   figures.Figure `json:"at"`
	From figures.Figure `json:"from"`
	To   figures.Figure `json:"to"`
}

// tightness is the report of a loose line beside its miss.
type tightness struct {
	Needs figures.Figure `json:"needs"` // the play that would just free it, if those of the others grow alike
	Tight []tightSpot    `json:"-"`     // told as the answer's own
	Reads string         `json:"reads"` // what the tight spots read as: "centres", "quartering", "both" or ""

	reading solver.Reading
}

// readings are what tight spots read as, short and in words.
var readings = map[solver.Reading][2]string{
	solver.OnCentres: {"centres", "as when rod centres or throws differ"},
	solver.Between:   {"quartering", "and free on them: as when the quartering is out"},
	solver.Mixed:     {"both", "but not free on them: as when the quartering and rod centres or throws are out together"},
}

func (w Reporter) tightness(f *solver.Finding) *tightness {
	if w.Engine.Problem.Checks[f.Check].Kind != solver.Loose || math.IsNaN(f.Least) {
		return nil
	}
	t := &tightness{Needs: figures.Of(w.Units, math.Max(math.Abs(f.Least), math.Abs(f.Greatest)), quantity.Length), Tight: []tightSpot{}}
	if f.Tight == nil {
		return t
	}
	for _, s := range f.Tight.Spots {
		i := w.span(solver.Interval{From: s.From, To: s.To})
		t.Tight = append(t.Tight, tightSpot{figures.Of(w.Units, s.At, quantity.Angle), i.From, i.To})
	}
	slices.SortStableFunc(t.Tight, func(a, b tightSpot) int { return cmp.Compare(a.onTheCircle(), b.onTheCircle()) })
	t.reading, t.Reads = f.Tight.Reads, readings[f.Tight.Reads][0]
	return t
}

// wideSpot is the length from which a tight spot is given by its ends, degrees.
const wideSpot = 20

// tightText tells where a loose line is tight, what that reads as, and what would free it.
func (a *checkAnswer) tightText(u quantity.Units) []string {
	t := a.tightness
	if t == nil || len(t.Tight) == 0 {
		return nil
	}
	wide := false
	at := FirstFew(t.Tight, mostListed, "%d more {place|places}", func(s tightSpot) string {
		if s.To-s.From < wideSpot {
			return wholeDegrees(s.At)
		}
		if wide = true; s.To-s.From > 359.5 {
			return "all the way round"
		}
		return "all the way from " + wholeDegrees(s.From) + " to " + wholeDegrees(s.To)
	})
	text := "tight " + joinedAt(at)
	if wide && !a.OK { // beside the stretches where the play is not enough
		text = "tightest, within 2 % of the worst, " + joinedAt(at)
	}
	switch how := readings[t.reading][1]; {
	case t.reading == solver.OnCentres && wide:
		text += ", " + how
	case t.reading == solver.OnCentres:
		text += ", on dead centres: " + how
	case how != "":
		text += ", half way between dead centres, " + how
	}
	parts := []string{text}
	if !a.OK {
		parts = append(parts, "a play of "+roundedUp(t.Needs, u)+" would free it")
	}
	return parts
}

// joinedAt puts "at", commas and an "and" to places of the turn.
func joinedAt(at []string) string {
	words := slices.Clone(at)
	for i, s := range at {
		if s[0] >= '0' && s[0] <= '9' && (i == 0 || at[i-1][0] == 'a') {
			words[i] = "at " + s
		}
	}
	return Listing(words)
}

// wholeDegrees is a place of the turn as one reads it off a protractor.
func wholeDegrees(deg figures.Figure) string {
	return strconv.FormatFloat(onTheCircle(math.Round(float64(deg))), 'f', 0, 64) + "°"
}

func onTheCircle(deg float64) float64 {
	if deg = math.Mod(deg, 360); deg < 0 {
		deg += 360
	}
	return deg
}

// onTheCircle is where a spot comes in the turn, to the degree.
func (s tightSpot) onTheCircle() float64 { return onTheCircle(math.Round(float64(s.At))) }

// roundedUp is a length as the tables have it, but not less than it is.
func roundedUp(f figures.Figure, u quantity.Units) string {
	text := f.Read(u, quantity.Length)
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || v >= float64(f)*(1-1e-9) {
		return text
	}
	_, decimals, _ := strings.Cut(text, ".")
	return strconv.FormatFloat(v+math.Pow(10, -float64(len(decimals))), 'f', len(decimals), 64)
}
