package tube

// cover lays boxes over a stretch of the turn and a strip of the travels, from its beginning on, the first of them
// linked to the box prev. It returns the last box laid, or prev if there is none.
func (m *marcher) cover(strip []Range, over Range, prev, splits int) int {
	t, failed := over.From, false
	known := fix{}
	if prev < 0 {
		known = m.begin(strip)
	}
	for t < over.To {
		if m.spent() {
			m.gap(Range{t, over.To}, strip, OutOfBudget)
			return prev
		}
		end := stop(t, m.step, over.To)
		if !failed {
			end = min(m.ask.Common.end(t, end), over.To)
		}
		if k, ok := m.tooWide(splits); ok {
			end = stop(t, splitOver, over.To)
			prev = m.split(strip, Range{t, end}, prev, splits, k)
			t = end
			continue
		}
		if stands := prev < 0 && m.open(Range{t, end}, strip, t, known) || prev >= 0 && m.try(Range{t, end}, strip, prev, t); stands {
			prev = len(m.Boxes) - 1
			m.step = m.next(end - t)
			t, failed = end, false
			continue
		}
		failed = true
		if m.step = (end - t) / 2; m.step >= m.least() {
			continue
		}
		prev, t = m.leap(strip, Range{t, over.To}, prev)
		m.step = 8 * m.least()
	}
	return prev
}

// tooWide tells whether a strip is to be halved, and in which travel: where that and not the turn makes the boxes short.
func (m *marcher) tooWide(splits int) (travel int, ok bool) {
	if len(m.vary) == 1 || len(m.Boxes) == 0 || splits == maxSplits || m.step >= narrowBox {
		return 0, false
	}
	k, share := m.heaviest()
	return k, share > weighty || m.step < 8*leastStrip
}

// stop is where a box from t ends; it leaves no crumb before the end of the stretch.
func stop(t, step, end float64) float64 {
	if t+1.2*step >= end {
		return end
	}
	return t + step
}

// least is the shortest stretch of the turn worth a box.
func (m *marcher) least() float64 {
	if len(m.vary) > 1 {
		return leastStrip
	}
	return leastBox
}

func (m *marcher) spent() bool { return m.left <= 0 || m.ctx.Err() != nil }

// split lays boxes over the two halves of a strip. Both begin at the box prev; a box that follows needs only one of
// them, since they agree where they meet.
func (m *marcher) split(strip []Range, over Range, prev, splits, k int) int {
	j := m.vary[k] - 1
	last, step := prev, m.step
	for half := range 2 {
		s := append([]Range(nil), strip...)
		mid := strip[j].Mid()
		if half == 0 {
			s[j].To = mid
		} else {
			s[j].From = mid
		}
		m.step = step
		n := len(m.Boxes)
		end := m.cover(s, over, prev, splits+1)
		if len(m.Boxes) > n {
			last = end
		}
	}
	return last
}

// leap takes the motion up again beyond a stretch that cannot be enclosed, and lays boxes backward from there to narrow
// the stretch. It returns the last box laid and where to go on.
func (m *marcher) leap(strip []Range, over Range, prev int) (last int, at float64) {
	mid := middle(strip)
	from, ok := m.guide.Resume(over.From, mid)
	for step := 2 * m.least(); ok; step *= 2 {
		t := from + step
		if t >= over.To || m.spent() {
			break
		}
		if !m.guide.Position(t, mid, m.seed) {
			continue
		}
		end := min(t+m.least(), over.To)
		m.parts++
		if !m.open(Range{t, end}, strip, t, fix{m.seed, m.nought}) {
			continue
		}
		last = len(m.Boxes) - 1
		m.back(strip, Range{over.From, t}, last, prev)
		return last, end
	}
	m.gap(over, strip, m.cause(over, mid))
	return prev, over.To
}

// back lays boxes backward from the box next over a stretch of the turn as far as it goes; what is left is a gap. If it goes
// all the way it may turn out that this is the branch of the box before.
func (m *marcher) back(strip []Range, over Range, next, before int) {
	t, step := over.To, m.least()
	for t > over.From && !m.spent() {
		begin := max(t-step, over.From)
		if m.try(Range{begin, t}, strip, next, t) {
			next = len(m.Boxes) - 1
			t, step = begin, m.next(step)
		} else if step /= 2; step < m.least() {
			break
		}
	}
	if t > over.From {
		m.gap(Range{over.From, t}, strip, m.cause(Range{over.From, t}, middle(strip)))
		return
	}
	if before >= 0 && m.Boxes[before].Turn.To == t && m.linked(&m.Boxes[before], &m.Boxes[next], t, middle(strip)) {
		m.rename(m.Boxes[next].part, m.Boxes[before].part)
	}
}

// rename says that two runs of boxes are on one branch.
func (m *marcher) rename(from, to int) {
	for i := range m.Boxes {
		if m.Boxes[i].part == from {
			m.Boxes[i].part = to
		}
	}
}

func (m *marcher) gap(over Range, strip []Range, why Cause) {
	m.Gaps = append(m.Gaps, Gap{over, append([]Range(nil), strip...), why})
}

// cause tells a stretch in which no position is found from one that has some.
func (m *marcher) cause(over Range, travel []float64) Cause {
	if m.spent() {
		return OutOfBudget
	}
	const looks = 16
	for i := 1; i < looks; i++ {
		t := over.From + (over.To-over.From)*float64(i)/looks
		if m.guide.Position(t, travel, m.seed) {
			return EitherWay
		}
	}
	return CannotAssemble
}
