package spread

import "math"

// Part is what one tolerance does to a figure: the figure moves by Slope for a change of the dimension by one, and the
// dimension lies between Lower and Upper beside its value.
type Part struct {
	Dim          int
	Slope        float64 // NaN where slopes do not tell
	Lower, Upper float64
	Fixed        bool    // the part is made, or bought: its limits are those of the measurement and are not to be changed
	Tried        bool    // what it does was found by trial
	Loss         float64 // and is that, for the worse
}

// middle is how far the part moves the figure to the middle of where it lies. What slopes do not report counts for the worse
// alone, from where the figure is.
func (p Part) middle() float64 {
	if math.IsNaN(p.Slope) {
		return 0
	}
	return p.Slope * (p.Lower + p.Upper) / 2
}

// Half is how far the part moves the figure from its middle.
func (p Part) Half() float64 {
	if p.Tried {
		return p.Loss
	}
	return math.Abs(p.Slope) * (p.Upper - p.Lower) / 2
}

// Stack is what several tolerances do to a figure together.
type Stack []Part

// Middle is how far the figure's middle lies from where it is with every dimension at its value.
func (s Stack) Middle() float64 {
	sum := 0.0
	for _, p := range s {
		sum += p.middle()
	}
	return sum
}

// WorstCase is how far the figure may lie from its middle with every part at its worst limit.
func (s Stack) WorstCase() float64 {
	sum := 0.0
	for _, p := range s {
		sum += p.Half()
	}
	return sum
}

// RSS is how far the figure lies from its middle by the root of the sum of squares: as unlikely as a part at its limit.
// inflate makes up for parts that do not lie about the middle of their limits; A. Bender (1962) takes 1.5.
func (s Stack) RSS(inflate float64) float64 {
	sum := 0.0
	for _, p := range s {
		sum += p.Half() * p.Half()
	}
	return inflate * math.Sqrt(sum)
}

// Share is the share of the square sum that a part makes.
func (s Stack) Share(i int) float64 {
	all := s.RSS(1)
	if all == 0 {
		return 0
	}
	return s[i].Half() * s[i].Half() / (all * all)
}

// Scale is by what the tolerances that are not fixed must be multiplied for the stack to come to allowed: by the worst
// case, and by root sum square. What is fixed is taken off first, as in proportional scaling (K. W. Chase, Basic Tools for
// Tolerance Analysis). Zero where the fixed ones alone are too much, +Inf where nothing is left to be scaled.
func (s Stack) Scale(allowed, inflate float64) (worst, rss float64) {
	var fixed, open, fixed2, open2 float64
	for _, p := range s {
		h := p.Half()
		if p.Fixed {
			fixed, fixed2 = fixed+h, fixed2+h*h
		} else {
			open, open2 = open+h, open2+h*h
		}
	}
	allowed2 := allowed * allowed / (inflate * inflate)
	worst = math.Max(0, allowed-fixed) / open
	rss = math.Sqrt(math.Max(0, allowed2-fixed2) / open2)
	if allowed < 0 {
		worst, rss = 0, 0
	}
	if open == 0 {
		worst, rss = math.Inf(1), math.Inf(1)
	}
	return worst, rss
}
