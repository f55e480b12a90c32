package checker

import (
	"encoding/json"
	"math"
)

// Answer is the part of `check --json` that is compared here. Figures are in the unit of the text: mm and degrees.
type Answer struct {
	Assembled bool           `json:"assembled"`
	Broken    []AnsweredSpan `json:"broken"`
	Checks    []Answered     `json:"checks"`
	Measures  []Ranged       `json:"measures"`
}

// AnsweredSpan is a stretch of the turn at one setting of the travels, degrees. Out is by how much its ends may be out, if
// that is more than 0.001.
type AnsweredSpan struct {
	From   float64            `json:"from"`
	To     float64            `json:"to"`
	Out    float64            `json:"out"`
	Travel map[string]float64 `json:"travel"`
}

// Answered is the answer to one check.
type Answered struct {
	Line     int                `json:"line"`
	Kind     string             `json:"kind"`
	A        string             `json:"a"`
	B        string             `json:"b"`
	Least    *float64           `json:"least"`
	Greatest *float64           `json:"greatest"`
	At       map[string]float64 `json:"at"`
	Fouls    []AnsweredSpan     `json:"fouls"`
	OK       bool               `json:"ok"`
	Sure     string             `json:"sure"`
	Unproved []AnsweredSpan     `json:"unproved"` // the stretches for which nothing is claimed
	NoValue  *struct {
		At map[string]float64 `json:"at"`
	} `json:"no_value"` // where its sum has none
}

// Ranged is the answer to one measure.
type Ranged struct {
	Name       string             `json:"name"`
	Least      *float64           `json:"least"`
	LeastAt    map[string]float64 `json:"least_at"`
	Greatest   *float64           `json:"greatest"`
	GreatestAt map[string]float64 `json:"greatest_at"`
}

// Read reads an answer.
func Read(b []byte) (*Answer, error) {
	a := new(Answer)
	return a, json.Unmarshal(b, a)
}

// check is the answer to an ask, nil if there is none.
func (a *Answer) check(s *Sketch, q *Ask) *Answered {
	for i := range a.Checks {
		c := &a.Checks[i]
		if c.Line == q.Line && (q.Kind == "keep" || q.Kind == "meet" || c.A == s.ProfileName(q.A) && c.B == s.ProfileName(q.B)) {
			return c
		}
	}
	return nil
}

// poseAt is the engine at the place of an answer: in the field of its lists, followed from the nearest pose. It is nil
// where there is no such place.
func (t *Truth) poseAt(at map[string]float64) (*Pose, *field) {
	s := t.Sketch
	value := func(a *Axis) float64 {
		v, ok := at[a.Name]
		if !ok {
			return math.NaN()
		}
		if a.Angle {
			v *= math.Pi / 180
		}
		return v
	}
	for _, f := range t.fields {
		fits := true
		for k := range s.Travels {
			if v := f.lists[k]; !math.IsNaN(v) {
				fits = fits && math.Abs(value(&s.Travels[k])-v) <= 1e-9*s.Size()
			}
		}
		if !fits {
			continue
		}
		x := make([]float64, len(f.axes))
		for i := range x {
			a := &f.axes[i]
			x[i] = value(&a.Axis)
			if slack := 1e-9 * (a.To - a.From); math.IsNaN(x[i]) || x[i] < a.From-slack || x[i] > a.To+slack {
				return nil, f
			}
		}
		return f.pose(x), f
	}
	return nil, nil
}
