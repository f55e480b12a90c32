package engine

import (
	"math"
	"sort"

	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// Station is the engine solved at one position: where all points and parts are and, once they are needed, their speeds by
// the turn.
type Station struct {
	Turn float64
	pose linkage.Pose
	sums expr.Context // the same, as sums read it
	goes bool         // the speeds of the points are in sums
	runs bool         // their accelerations are in sums too
	run  *Run         // the run that it belongs to
}

// NewStation makes room for one position.
func (m *Engine) NewStation() *Station {
	s := new(Station)
	m.room(s)
	return s
}

func (m *Engine) room(s *Station) {
	model := m.Problem.Linkage
	n := len(model.Points)
	f := make([]float64, 2*n)
	s.Turn = math.NaN()
	s.pose = linkage.Pose{Point: make([]plane.Vec, n), Part: make([]plane.Placement, len(model.Parts)),
		Line: make([]plane.Placement, len(model.Lines)), Travel: make([]float64, len(m.Problem.Travels))}
	s.sums = expr.Context{X: f[:n:n], Y: f[n:]}
}

// Anew returns the same room, for another run or another figure.
func (s *Station) Anew() *Station {
	s.Turn = math.NaN()
	return s
}

// Stand solves the position at turn t into s. It returns false where the parts do not assemble.
func (r *Run) Stand(t float64, s *Station) bool {
	if t < r.From || t > r.To {
		t = r.wrap(t)
	}
	if s.Turn == t && s.sums.Whole != nil {
		return true
	}
	s.Turn = math.NaN()
	status := r.motion.At(t, &s.pose)
	if status != linkage.Solved && status != linkage.DeadCentre {
		return false
	}
	s.Turn = t
	s.goes, s.runs, s.run = false, false, r
	s.sums.Turn, s.sums.Travel, s.sums.Whole = t, r.Travel, r.whole
	if r.Entire != nil { // a few parts alone need no sums
		return true
	}
	for i, p := range s.pose.Point {
		s.sums.X[i], s.sums.Y[i] = p.X, p.Y
	}
	s.sums.Heading = r.headingsNear(t)
	return true
}

// wrap brings a turn just beyond an end of a closed turn back into it.
func (r *Run) wrap(t float64) float64 {
	switch {
	case r.Closed && t < r.From:
		return t + r.Length()
	case r.Closed && t >= r.To:
		return t - r.Length()
	}
	return t
}

// going makes sure that the speeds of the points are known: enough for distances.
func (s *Station) going() {
	if !s.goes {
		s.run.motion.Speeds(&s.pose, &s.sums)
		s.goes = true
	}
}

// CopyTo copies a position of a run to a room of one's own, and returns that. The positions of a run are shared by all who ask about
// its setting; speeds may only be added to a copy.
func (s *Station) CopyTo(room *Station) *Station {
	was := room.sums
	*room = *s
	room.goes, room.runs = false, false
	room.sums.DX, room.sums.DY, room.sums.DDX, room.sums.DDY = was.DX, was.DY, was.DDX, was.DDY
	return room
}

// speeds makes sure that the speeds and the accelerations of the points are known: a sum may have a rate in it, and its
// slope may be needed.
func (s *Station) speeds() {
	if !s.runs {
		s.run.motion.Rates(&s.pose, &s.sums)
		s.goes, s.runs = true, true
	}
}

// headingsNear returns the headings at the sampled position nearest to t; nil before there is one.
func (r *Run) headingsNear(t float64) []float64 {
	if len(r.marks) == 0 {
		return nil
	}
	i := sort.SearchFloat64s(r.marks, t)
	if i == len(r.marks) || (i > 0 && t-r.marks[i-1] < r.marks[i]-t) {
		i--
	}
	return r.headings[i]
}

// going is the motion of a part by the turn: the rate of its origin, mm/rad, and of its heading.
type going struct {
	origin plane.Vec
	turn   float64
}

// at is the velocity of the part's own place that is at a in the frame, mm/rad.
func (g going) at(a plane.Vec, p plane.Placement) plane.Vec {
	return g.origin.Add(a.Sub(p.Origin).Turned().Scale(g.turn))
}

// going returns the motion of part i at the position s.
func (m *Engine) going(i int, s *Station, e *expr.Eval) going {
	part := &m.Problem.Linkage.Parts[i]
	switch part.Kind {
	case schedule.FromTo:
		return going{s.rate(part.P), s.spin(part.P, part.Q)}
	case schedule.AlongLine:
		line := &m.Problem.Linkage.Lines[part.Line]
		if line.Q >= 0 {
			return going{s.rate(part.P), s.spin(line.P, line.Q)}
		}
		_, turn := slopeOf(e, line.Heading, s)
		return going{s.rate(part.P), turn}
	case schedule.AtHeading:
		_, turn := slopeOf(e, part.Heading, s)
		return going{s.rate(part.P), turn}
	}
	return going{}
}

func (s *Station) rate(p int) plane.Vec { return plane.Vec{X: s.sums.DX[p], Y: s.sums.DY[p]} }

// spin is how fast Q turns round P, rad a radian of the turn.
func (s *Station) spin(p, q int) float64 {
	d := s.pose.Point[q].Sub(s.pose.Point[p])
	return d.Cross(s.rate(q).Sub(s.rate(p))) / d.Dot(d)
}
