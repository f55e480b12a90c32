package tube

// cover lays boxes over a stretch of the turn and a strip of the travels, from its beginning on, the first of them
// linked to the box prev. It returns the last box laid, or prev if there is none.
func (m *marcher) cover(strip []Range, over Range, prev, splits int) int {
	t, failed, cut, tried := over.From, false, false, false
	known := fix{}
	if prev < 0 {
		var ok bool
		if known, ok = m.begin(strip); !ok {
			if m.Reached && len(m.ranges()) > 0 && splits < maxSplits {
				return m.split(strip, over, prev, splits, m.heaviest(&noWeight, strip))
			}
			prev, t = m.adrift(strip, over)
		}
	}
	for t < over.To {
		if m.spent() {
			m.gap(Range{t, over.To}, strip, OutOfBudget)
			return prev
		}
		end := m.aim(Range{t, over.To}, failed, cut)
		k, halve := 0, false
		if tried { // otherwise it is not known what made the last box short
			k, halve = m.short(splits)
		}
		if !halve || cut {
			if tried = true; m.lay(Range{t, end}, strip, prev, known) {
				m.stood(splits)
				prev = len(m.Boxes) - 1
				m.step = m.next(end - t)
				t, failed, cut = end, false, false
				continue
			}
			last, at := 0, t
			if last, at, cut = m.pass(Range{t, end}, strip, prev, known); at > t || cut {
				prev, t, failed = last, at, cut
				continue
			}
			k, halve = m.tooWide(strip, splits)
		}
		if halve {
			end = m.splitTo(Range{t, over.To}, prev)
			prev = m.split(strip, Range{t, end}, prev, splits, k)
			t, failed, tried = end, false, false
			continue
		}
		if failed = true; m.idle {
			m.gap(Range{t, over.To}, strip, m.cause(over, middle(strip)))
			return prev
		}
		prev, t = m.stuck(Range{t, over.To}, end, strip, prev)
	}
	return prev
}

// aim returns where the next box is to end. Where the last one was laid, it ends with a box of what all strips share. If
// it was cut short before change points, it goes just up to them.
func (m *marcher) aim(left Range, failed, cut bool) float64 {
	end := stop(left.From, m.step, left.To)
	switch {
	case cut:
		end = left.From + m.step
	case m.idle:
		end = left.To
	}
	if failed {
		return end
	}
	return min(m.ask.Common.end(left.From, end), left.To)
}

// stuck goes on where no box up to end could be laid: around a fold, with a shorter box, or past a place that none
// covers. Where sizes vary nothing leaps, and the rest is a gap. It returns the last box and where to go on.
func (m *marcher) stuck(left Range, end float64, strip []Range, prev int) (last int, at float64) {
	if f := m.foldIn(left.From, 1, left, strip); f != nil && m.fold(f, strip, prev) {
		left.From, prev = f.Turn, len(m.Boxes)-1
	} else if m.step = (end - left.From) / 2; m.step >= m.least() {
		return prev, left.From
	} else if len(m.Plan.Sizes) > 0 {
		m.gap(left, strip, SizesPart)
		return prev, left.To
	}
	last, at = m.leap(strip, left, prev)
	m.step = 8 * m.least()
	return last, at
}

// pass crosses the change points over which a box could not be laid. If the stretch about them begins farther on, it goes
// up to that stretch, and the next box is cut short there. It returns the last box laid and where to go on: where it
// began if there are no change points. A long box may have failed for other reasons, and where no travel varies boxes
// soon become shorter.
func (m *marcher) pass(over Range, strip []Range, prev int, known fix) (last int, at float64, cut bool) {
	if m.idle || over.To-over.From > narrowBox && len(m.vary) == 1 {
		return prev, over.From, false
	}
	s := m.stretchIn(over.From, over.To)
	switch {
	case s == nil:
		return prev, over.From, false
	case s.From-over.From > m.least():
		m.step = s.From - over.From
		return prev, over.From, true
	}
	if last, at = m.cross(s, over.From, strip, prev, known); at > over.From {
		m.step = narrowBox
	}
	return last, at, false
}

// lay encloses one box that follows the box prev, or starts from what is known at the start of the turn.
func (m *marcher) lay(turn Range, strip []Range, prev int, known fix) bool {
	if prev < 0 {
		return m.open(turn, strip, turn.From, known, 0)
	}
	return m.try(turn, strip, prev, turn.From)
}

// stood notes the coarsest strips that hold boxes.
func (m *marcher) stood(splits int) {
	if len(m.Boxes) == 1 || splits < m.coarsest {
		m.coarsest = splits
	}
}

// stop returns where a box from t ends. It leaves no sliver before the end of the stretch.
func stop(t, step, end float64) float64 {
	if t+1.2*step >= end {
		return end
	}
	return t + step
}

// least is the shortest stretch of the turn worth a box.
func (m *marcher) least() float64 {
	switch {
	case m.affine:
		return leastAffine
	case len(m.vary) > 1:
		return leastStrip
	case len(m.Plan.Sizes) > 0:
		return leastSized
	}
	return leastBox
}

func (m *marcher) spent() bool { return m.left <= 0 || m.ctx.Err() != nil }

// adrift starts the motion in a strip that has no known way from rest at the start of the turn. Where the strip cannot be
// assembled there, it starts beyond that. It returns the last box laid and where to go on.
func (m *marcher) adrift(strip []Range, over Range) (last int, at float64) {
	if !m.guide.Position(over.From, middle(strip), m.seed) {
		return m.leap(strip, over, -1)
	}
	why := Unreached
	if m.spent() {
		why = OutOfBudget
	}
	m.gap(over, strip, why)
	return -1, over.To
}

// leap starts the motion again beyond a stretch that cannot be enclosed, and lays boxes backward from there to narrow the
// stretch. It returns the last box laid and where to go on.
func (m *marcher) leap(strip []Range, over Range, prev int) (last int, at float64) {
	mid := middle(strip)
	from, ok := m.guide.Resume(over.From, mid)
	for step := 2 * m.least(); ok; step *= 2 {
		t := from + step
		if t >= over.To || m.spent() {
			break
		}
		if !m.guide.Position(t, mid, m.seed) {
			if next, more := m.guide.Resume(t, mid); more && next > t {
				from, step = next, m.least()
			}
			continue
		}
		end := min(t+m.least(), over.To)
		m.parts++
		if !m.open(Range{t, end}, strip, t, fix{m.seed, m.zeros}, m.parts) {
			continue
		}
		last = len(m.Boxes) - 1
		m.back(strip, Range{over.From, t}, last, prev)
		return last, end
	}
	m.gap(over, strip, m.cause(over, mid))
	return prev, over.To
}

// back lays boxes backward from the box next over a stretch of the turn, as far as possible. The rest is a gap. If it
// reaches the other end, this may prove to be the branch of the box before.
func (m *marcher) back(strip []Range, over Range, next, before int) {
	t, step := over.To, m.least()
	for t > over.From && !m.spent() {
		begin := max(t-step, over.From)
		if m.try(Range{begin, t}, strip, next, t) {
			next = len(m.Boxes) - 1
			t, step = begin, m.next(step)
		} else if f := m.foldIn(t, -1, over, strip); f != nil && m.fold(f, strip, next) {
			t = f.Turn
			break
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

// rename records that two runs of boxes are on one branch.
func (m *marcher) rename(from, to int) {
	for i := range m.Boxes {
		if m.Boxes[i].part == from {
			m.Boxes[i].part = to
		}
	}
}

func (m *marcher) gap(over Range, strip []Range, why Cause) {
	if len(m.Plan.Sizes) > 0 { // no claim will be made, so the rest is not needed
		if m.left = 0; len(m.Gaps) > 0 {
			return
		}
	}
	strip = append([]Range(nil), strip...)
	if why == CannotAssemble && len(m.vary) == 1 && !m.idle { // only beyond the dead centre it cannot
		for _, r := range m.guide.Assembled(over, middle(strip)) {
			if over.From < r.From {
				m.Gaps = append(m.Gaps, Gap{Range{over.From, r.From}, strip, why})
			}
			m.Gaps = append(m.Gaps, Gap{r, strip, AtDeadCentre})
			over.From = r.To
		}
	}
	if over.From < over.To {
		m.Gaps = append(m.Gaps, Gap{over, strip, why})
	}
}

// cause returns the cause of a gap: whether a position was found in the stretch.
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
