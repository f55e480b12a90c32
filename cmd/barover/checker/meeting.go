package checker

import (
	"fmt"
	"math"
	"math/cmplx"
)

// meetingPoints asks for the heading of a pin seen from a peg. The pin goes round a shaft by the turn or by a range. The peg stands
// on its circle, or a range carries it across the circle: then the two meet at one place and neither has a heading there. Or it
// stands a little off and they pass one another, and every heading has its value.
func (d *drawer) meetingPoints() {
	d.stands(0)
	meets := map[string]float64{}
	d.byEither()
	drive := d.Turn
	if len(d.Travels) > 0 {
		drive = &d.Travels[0]
		if d.Turn != nil {
			meets[d.Turn.Name] = math.NaN() // any
		}
	}
	at := tenth((drive.From+(drive.To-drive.From)*d.between(0.1, 0.9))*180/math.Pi) + 0.037
	meets[drive.Name] = at
	if d.odds(2) {
		meets = nil
	}
	shaft := d.at("shaft", 0)
	throw, pin, _ := d.usualCrank(shaft)
	heading := at * math.Pi / 180
	if d.drive.Of(&Pose{Turn: 1, Travel: []float64{1, 1}}) < 0 {
		heading = -heading
	}
	away := constant(throw)
	switch {
	case drive == d.Turn && d.odds(2):
		away = d.carried(throw, meets)
	case meets == nil:
		away = constant(d.mm(throw/d.Scale + d.sign()*d.hair(1e-2, 5)))
	}
	peg := d.turned("peg", away, heading)
	if meets == nil {
		d.sums = append(d.sums, d.heading(peg, pin), d.heading(pin, peg))
		return
	}
	for _, q := range [2][2]int{{peg, pin}, {pin, peg}} {
		v := Sum{fmt.Sprintf("heading(%s, %s)", d.points[q[0]].name, d.points[q[1]].name), Angle, nil}
		d.keep(v, -9000, 9000)
		d.Asks[len(d.Asks)-1].Kind, d.Asks[len(d.Asks)-1].Meets = "meet", meets
	}
}

// carried is how far from the shaft a range carries a peg: across a circle, or beside it where nothing is to meet.
func (d *drawer) carried(throw float64, meets map[string]float64) Sum {
	from, to := d.mm(-d.between(1, 3)), d.mm(d.between(1, 3))
	aside := d.rise("aside", from, to, d.mm(0.5))
	on := d.mm(d.between(0.9*from/d.Scale, 0.9*to/d.Scale))
	if meets == nil {
		on = d.mm(to/d.Scale + d.hair(1e-1, 5))
	} else {
		meets["aside"] = on
	}
	by := tidied(throw - on)
	return Sum{fmt.Sprintf("(%smm + aside)", figure(by)), Length, func(p *Pose) float64 { return by + aside.Of(p) }}
}

// turned adds a point in the frame at a distance from its origin and a heading, rad.
func (s *Sketch) turned(name string, away Sum, heading float64) int {
	text := figure(heading * 180 / math.Pi)
	s.say("point %s at %s*cos(%s), %s*sin(%s)", name, away.Text, text, away.Text, text)
	return s.driven(name, func(p *Pose) complex128 { return cmplx.Rect(away.Of(p), heading) })
}

// holdMeeting holds the answer to a heading between points that meet: it is not met, it is not proved, and the place is told.
func holdMeeting(h *Held, q *Ask, c *Answered) {
	if c.OK || c.Sure == "proved" && len(c.Unproved) == 0 {
		h.wrong("line %d: said ok %v, %s; it has no value at %v", q.Line, c.OK, c.Sure, q.Meets)
	}
	if c.NoValue == nil {
		h.wrong("line %d: not said to lack a value; it has none at %v", q.Line, q.Meets)
		return
	}
	for name, v := range q.Meets {
		if said, ok := c.NoValue.At[name]; !math.IsNaN(v) && !(ok && math.Abs(said-v) < 0.001) {
			h.wrong("line %d: said to have no value at %v, true place %v", q.Line, c.NoValue.At, q.Meets)
		}
	}
}
