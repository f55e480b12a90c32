package spread

import "math"

// Part is the effect of one tolerance on a figure: the figure moves by Slope for a change of the dimension by one, and
// the dimension is between Lower and Upper beside its value.
type Part struct {
	Dim          int
	Slope        float64 // NaN where slopes do not decide
	Lower, Upper float64
	Fixed        bool    // the part is made, or bought: its limits are those of a measurement and must not change
	Tried        bool    // its effect was found by trial
	Loss         float64 // the effect found by trial, for the worse
}

// middle returns how far the part moves the figure to the middle of its range. An effect without a slope counts for the
// worse alone, from the figure's present place.
func (p Part) middle() float64 {
	if math.IsNaN(p.Slope) {
		return 0
	}
	return p.Slope * (p.Lower + p.Upper) / 2
}

// Half returns how far the part moves the figure from its middle.
func (p Part) Half() float64 {
	if p.Tried {
		return p.Loss
	}
	return math.Abs(p.Slope) * (p.Upper - p.Lower) / 2
}

// Stack holds the effects of several tolerances on a figure: a tolerance stack.
type Stack []Part

// Middle returns how far the figure's middle is from its value with every dimension at its value.
func (s Stack) Middle() float64 {
	sum := 0.0
	for _, p := range s {
		sum += p.middle()
	}
	return sum
}

// WorstCase returns how far the figure may be from its middle with every part at its worst limit.
func (s Stack) WorstCase() float64 {
	sum := 0.0
	for _, p := range s {
		sum += p.Half()
	}
	return sum
}

// RSS returns how far the figure is from its middle by the root sum square: as unlikely as a part at its limit. inflate
// makes up for parts that do not gather about the middle of their limits; A. Bender (1962) takes 1.5.
func (s Stack) RSS(inflate float64) float64 {
	sum := 0.0
	for _, p := range s {
		sum += p.Half() * p.Half()
	}
	return inflate * math.Sqrt(sum)
}

// Share returns the share of one part in the sum of squares.
func (s Stack) Share(i int) float64 {
	all := s.RSS(1)
	if all == 0 {
		return 0
	}
	return s[i].Half() * s[i].Half() / (all * all)
}

// Scale returns the factor of the tolerances that are not fixed for the stack to lose no more than room, which is the figure's
// room with every dimension at its value: by the worst case, and by root sum square. A tolerance is scaled towards its value,
// since that is what the part is drawn and made to: one to a side stays to that side. Fixed ones are subtracted first, as in
// proportional scaling (K. W. Chase, Basic Tools for Tolerance Analysis). It is zero where the fixed ones alone are too much,
// and +Inf where nothing is left to scale, or no scale is too much.
func (s Stack) Scale(room, inflate float64) (worst, rss float64) {
	if room < 0 {
		return 0, 0
	}
	var lost, open, fixed2, open2, middle float64
	for _, p := range s {
		h, m := p.Half(), p.middle()
		if p.Fixed {
			lost, fixed2, room = lost+h, fixed2+h*h, room+m
		} else {
			open, open2, middle = open+h, open2+h*h, middle+m
		}
	}
	return largest(room-lost, middle-open, 0, 0), largest(room, middle, inflate*inflate*fixed2, inflate*inflate*open2)
}

// largest returns the largest k, not below zero, with room + k·by ≥ √(fixed2 + k²·open2): zero where it is not so at zero, +Inf
// where it is so for every k.
func largest(room, by, fixed2, open2 float64) float64 {
	square := open2 - by*by // what is left of k² once both sides are squared
	switch left := room*room - fixed2; {
	case room < 0 || left < 0:
		return 0
	case by >= 0 && square <= 0:
		return math.Inf(1)
	case room == 0:
		return 0
	case open2 == 0:
		return room / -by
	case square == 0:
		return left / (-2 * room * by)
	default:
		return (room*by + math.Sqrt(room*room*by*by+square*left)) / square
	}
}
