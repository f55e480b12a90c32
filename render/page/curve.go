package page

import (
	"context"
	"encoding/binary"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/linkage"
	"barover/solver/machine"
	"barover/solver/outline"
)

// curveStep is the step of the turn at which curves are taken, rad.
const curveStep = 1.5 * math.Pi / 180

// mostCurve bounds the points of one curve.
const mostCurve = 1440

// CurveTurns are the turns that curves are taken at, evenly from the start of the turn to its end, rad.
func CurveTurns(t solver.Turn) []float64 {
	n := max(1, min(mostCurve, int(math.Ceil((t.To-t.From)/curveStep-1e-9))))
	out := make([]float64, n+1)
	for i := range out {
		out[i] = t.From + (t.To-t.From)*float64(i)/float64(n)
	}
	return out
}

// Curves are the figures of the answers over the turn, each at the travel setting where it is worst, one after another as
// 32-bit floats, little end first: mm, degrees or bare numbers, NaN where there is none. An answer that a check of m does not
// ask has NaN all along.
func Curves(ctx context.Context, m *machine.Machine, answers []Answer) ([]byte, error) {
	turns := CurveTurns(m.Problem.Turn)
	rest := engine.RestSetting(m.Problem.Travels)
	var b []byte
	for i := range answers {
		a := &answers[i]
		travel := a.Travel
		if len(travel) != len(rest) {
			travel = rest
		}
		v, err := curveOf(ctx, m, a, travel, turns)
		if err != nil {
			return nil, err
		}
		b = appendFloats(b, v)
	}
	return b, nil
}

func curveOf(ctx context.Context, m *machine.Machine, a *Answer, travel, turns []float64) ([]float64, error) {
	switch {
	case len(a.Pair) == 2:
		return Distances(ctx, m, a.Pair[0], a.Pair[1], travel, turns)
	case a.Check < len(m.Problem.Checks):
		v, err := m.FiguresAt(ctx, a.Check, travel, turns)
		if a.Unit == "angle" {
			for i := range v {
				v[i] = degrees(v[i])
			}
		}
		return v, err
	}
	return slices.Repeat([]float64{math.NaN()}, len(turns)), nil
}

func appendFloats(b []byte, v []float64) []byte {
	for _, x := range v {
		b = binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(x)))
	}
	return b
}

// Distances is how far apart two profiles are in the side view at each of these turns, mm, below zero where they overlap.
func Distances(ctx context.Context, m *machine.Machine, a, b int, travel, turns []float64) ([]float64, error) {
	mo, err := followed(ctx, m, travel)
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(turns))
	var pose linkage.Pose
	for i, t := range turns {
		out[i] = math.NaN()
		if mo.At(t, &pose) <= linkage.DeadCentre {
			out[i] = between(m, a, b, &pose).D
		}
	}
	return out, ctx.Err()
}

func between(m *machine.Machine, a, b int, p *linkage.Pose) outline.Near {
	return outline.Distance(m.Regions[a], p.Part[m.Problem.Profiles[a].Part], m.Regions[b], p.Part[m.Problem.Profiles[b].Part])
}

// Apart is how two profiles stand to one another at one position: the distance, mm, and the two nearest places x, y, x, y.
type Apart struct {
	D    Number     `json:"d"`
	Near [4]float64 `json:"near"`
}

// At is how two profiles stand to one another; the distance is missing where the engine cannot be assembled.
func At(ctx context.Context, m *machine.Machine, a, b int, turn float64, travel []float64) (Apart, error) {
	mo, err := followed(ctx, m, travel)
	if err != nil {
		return Apart{}, err
	}
	var pose linkage.Pose
	if mo.At(turn, &pose) > linkage.DeadCentre {
		return Apart{D: missing}, nil
	}
	n := between(m, a, b, &pose)
	return Apart{Number(n.D), [4]float64{rounded(n.P.X), rounded(n.P.Y), rounded(n.Q.X), rounded(n.Q.Y)}}, nil
}

// Band is between what the distance of two profiles lies over the turn in every engine that the drawing allows, mm, at even steps of the
// turn; null where that is not proved.
type Band struct {
	Low  []Number `json:"low"`
	High []Number `json:"high"` // never more than was asked about
}

// NewBand looks at two profiles in all engines of e at one travel setting, up to a distance of most, mm. Without e nothing is proved.
func NewBand(ctx context.Context, e *machine.Envelopes, a, b int, travel []float64, most float64) (*Band, error) {
	out := &Band{Low: []Number{}, High: []Number{}}
	if e == nil {
		return out, nil
	}
	v, err := e.Of(ctx, a, b, travel, most)
	for i := range v.Low {
		out.Low, out.High = append(out.Low, Number(v.Low[i])), append(out.High, Number(v.High[i]))
	}
	return out, err
}

// Pair is two profiles over the turn at one travel setting.
type Pair struct {
	Curve []Number `json:"curve"` // at the turns of every curve, mm
	Least Number   `json:"least"` // mm, found by looking position by position
	At    Number   `json:"at"`    // degrees
}

// NewPair looks at two profiles over the turn.
func NewPair(ctx context.Context, m *machine.Machine, a, b int, travel []float64) (*Pair, error) {
	v, err := Distances(ctx, m, a, b, travel, CurveTurns(m.Problem.Turn))
	if err != nil {
		return nil, err
	}
	at, least, err := m.Nearest(ctx, a, b, travel)
	p := &Pair{Curve: make([]Number, len(v)), Least: Number(least), At: Number(at)}
	if !math.IsNaN(at) {
		p.At = Number(degrees(at))
	}
	for i, x := range v {
		p.Curve[i] = Number(math.Round(x*1e4) / 1e4)
	}
	return p, err
}
