package page

import (
	"context"
	"encoding/binary"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/machine"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// How closely positions are taken. Between them the page goes along a cubic through four neighbours.
const (
	stride    = 2 * math.Pi / 180 // of the turn, before halving
	mostKnots = 8000              // positions of one motion
	depth     = 7                 // how often a step is halved again
	close     = 0.002             // mm: a step is halved while the cubic misses its middle by more
)

// Motion is an engine's positions over the turn at one travel setting, as the page wants them.
type Motion struct {
	turns  []float64 // rad, rising
	starts []int     // where each assembled stretch begins in turns
	at     []float32 // by turns: of each moving part its origin and u axis, then of each shown point its place
	wide   int       // figures a turn
	parts  int
	points int
}

// moving are the parts that do not stand still by being the frame.
func moving(p *solver.Problem) (list []int) {
	for i := range p.Linkage.Parts {
		if p.Linkage.Parts[i].Kind != schedule.Frame {
			list = append(list, i)
		}
	}
	return list
}

// Follow takes the positions of an engine over the turn, solved, none between them. Every stretch over which it cannot be
// assembled is left out. The error is that of ctx.
func Follow(ctx context.Context, m *machine.Machine, travel []float64) (*Motion, error) {
	mo, err := followed(ctx, m, travel)
	if err != nil {
		return nil, err
	}
	f := &follow{m: m, mo: mo, parts: moving(m.Problem), points: shownPoints(m)}
	f.reach = reaches(m, f.parts)
	out := &Motion{wide: 4*len(f.parts) + 2*len(f.points), parts: len(f.parts), points: len(f.points)}
	for _, span := range mo.Spans() {
		out.starts = append(out.starts, len(out.turns))
		for _, k := range f.span(span[0], span[1]) {
			out.turns, out.at = append(out.turns, k.turn), append(out.at, f.figures(&k.pose)...)
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// followed is the motion at a travel setting. What stands on the steps of a table is kept by the machine; what a slider
// passes between them is not.
func followed(ctx context.Context, m *machine.Machine, travel []float64) (*linkage.Motion, error) {
	for _, s := range m.Settings() {
		if slices.Equal(s, travel) {
			return m.Motion(ctx, s)
		}
	}
	t := m.Problem.Turn
	return m.Linkage.Follow(ctx, travel, t.From, t.To, max(min(t.Step, stride/2), (t.To-t.From)/mostKnots))
}

// follow is a motion being taken.
type follow struct {
	m      *machine.Machine
	mo     *linkage.Motion
	parts  []int
	points []int
	reach  []float64 // of each of parts: how far its outlines lie from its origin, mm
}

// knot is one position taken.
type knot struct {
	turn float64
	pose linkage.Pose
}

// reaches is how far the outlines of each part lie from its origin.
func reaches(m *machine.Machine, parts []int) []float64 {
	far := make([]float64, len(m.Problem.Linkage.Parts))
	for i, p := range m.Problem.Profiles {
		if r := m.Regions[i]; r != nil {
			far[p.Part] = max(far[p.Part], r.Centre.Len()+r.Radius)
		}
	}
	out := make([]float64, len(parts))
	for i, p := range parts {
		out[i] = far[p]
	}
	return out
}

// stand solves a position; false where it cannot be had.
func (f *follow) stand(turn float64) (k knot, ok bool) {
	k.turn = turn
	return k, f.mo.At(turn, &k.pose) <= linkage.DeadCentre
}

// span takes the positions of one assembled stretch: so close together that a cubic through four of them finds every
// position between.
func (f *follow) span(from, to float64) (out []knot) {
	n := max(1, int(math.Ceil((to-from)/stride-1e-9)))
	n = min(n, mostKnots/4)
	var coarse []knot
	for i := 0; i <= n; i++ {
		if k, ok := f.stand(from + (to-from)*float64(i)/float64(n)); ok {
			coarse = append(coarse, k)
		}
	}
	for i := range coarse {
		if i > 0 {
			out = f.between(out, coarse, i, len(coarse))
		}
		out = append(out, coarse[i])
	}
	return out
}

// between adds the middle of the step that ends at knot i, and more where the cubic misses that.
func (f *follow) between(out, ks []knot, i, total int) []knot {
	a, b := &ks[i-1], &ks[i]
	mid, ok := f.stand((a.turn + b.turn) / 2)
	if !ok {
		return out
	}
	first := max(0, min(i-2, len(ks)-4))
	near := ks[first:min(first+4, len(ks))]
	// With the middle in it the step is half as long, and a cubic's error a sixteenth.
	if miss := f.miss(near, &mid) / 16; !(miss > close) {
		return append(out, mid)
	}
	out = f.halve(out, *a, mid, depth, total)
	out = append(out, mid)
	return f.halve(out, mid, *b, depth, total)
}

// halve goes on halving a step until a straight line misses its middle by no more than a cubic may, or it has become so
// short that there is a jump in it.
func (f *follow) halve(out []knot, a, b knot, left, total int) []knot {
	mid, ok := f.stand((a.turn + b.turn) / 2)
	if !ok || left == 0 || len(out)+total > mostKnots {
		return out
	}
	if f.miss([]knot{a, b}, &mid) > 8*close {
		out = f.halve(out, a, mid, left-1, total)
		out = append(out, mid)
		return f.halve(out, mid, b, left-1, total)
	}
	return append(out, mid)
}

// miss is how far some outline lies from where the polynomial through ks would put it at mid, mm, at the most.
func (f *follow) miss(ks []knot, mid *knot) (worst float64) {
	w := make([]float64, len(ks))
	for j := range ks {
		w[j] = 1
		for k := range ks {
			if k != j {
				w[j] *= (mid.turn - ks[k].turn) / (ks[j].turn - ks[k].turn)
			}
		}
	}
	for n, i := range f.parts {
		var origin, dir plane.Vec
		for j := range ks {
			p := ks[j].pose.Part[i]
			origin, dir = origin.Add(p.Origin.Scale(w[j])), dir.Add(p.Dir.Scale(w[j]))
		}
		is := mid.pose.Part[i]
		worst = max(worst, origin.Sub(is.Origin).Len()+dir.Sub(is.Dir).Len()*f.reach[n])
	}
	for _, i := range f.points {
		var at plane.Vec
		for j := range ks {
			at = at.Add(ks[j].pose.Point[i].Scale(w[j]))
		}
		worst = max(worst, at.Sub(mid.pose.Point[i]).Len())
	}
	return worst
}

// figures are those of one position.
func (f *follow) figures(p *linkage.Pose) (out []float32) {
	for _, i := range f.parts {
		a := p.Part[i]
		out = append(out, float32(a.Origin.X), float32(a.Origin.Y), float32(a.Dir.X), float32(a.Dir.Y))
	}
	for _, i := range f.points {
		out = append(out, float32(p.Point[i].X), float32(p.Point[i].Y))
	}
	return out
}

// Bytes is the motion as it goes over, little end first: four 32-bit counts (turns, stretches, parts, points), then the
// turns in degrees as 64-bit floats, the first turn of each stretch as 32-bit whole numbers, and by turns 32-bit floats: of
// each moving part origin x, y and direction x, y, then of each shown point x, y.
func (mo *Motion) Bytes() []byte {
	b := make([]byte, 0, 16+8*len(mo.turns)+4*len(mo.starts)+4*len(mo.at))
	for _, n := range []int{len(mo.turns), len(mo.starts), mo.parts, mo.points} {
		b = binary.LittleEndian.AppendUint32(b, uint32(n))
	}
	for _, t := range mo.turns {
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(degrees(t)))
	}
	for _, s := range mo.starts {
		b = binary.LittleEndian.AppendUint32(b, uint32(s))
	}
	for _, v := range mo.at {
		b = binary.LittleEndian.AppendUint32(b, math.Float32bits(v))
	}
	return b
}
