package engine

import "sync"

// Many questions are asked at the same few travel settings: the ends of the ranges, and rest. The positions that a run
// looks at there are solved once and kept for the next, and so is what sums were found to need there.

// mostKept is how many points an Engine keeps, of all positions together: some 60 MB.
const mostKept = 1_000_000

// lookedOnce holds the positions sampled at one travel setting. They do not change: each run has copies of its own.
type lookedOnce struct {
	once  sync.Once
	spans [][]Station
}

// LookOnce does what lookAround does, unless it was done for the run's setting before.
func (m *Engine) LookOnce(r *Run) {
	key := SettingKey(r.Travel)
	m.mu.Lock()
	l := m.looks[key]
	if l == nil {
		l = new(lookedOnce)
		if m.looks == nil {
			m.looks = make(map[string]*lookedOnce)
		}
		m.looks[key] = l
	}
	m.mu.Unlock()
	l.once.Do(func() {
		r.LookAround()
		l.spans = r.Spans
		m.keepLook(key, l)
	})
	r.Spans = make([][]Station, len(l.spans))
	for i, span := range l.spans {
		r.Spans[i] = make([]Station, len(span))
		for k := range span {
			r.Spans[i][k] = span[k].of(r)
		}
	}
}

// of returns the same position for another run. The two share places, but not what a run adds to them.
func (s *Station) of(r *Run) Station {
	c := *s
	c.run, c.goes, c.runs = r, false, false
	c.sums.Whole, c.sums.Heading = r.whole, nil
	c.sums.DX, c.sums.DY, c.sums.DDX, c.sums.DDY = nil, nil, nil, nil
	return c
}

// keepLook counts what is kept, and drops all of it when it is too much.
func (m *Engine) keepLook(key string, l *lookedOnce) {
	n := 0
	for _, span := range l.spans {
		n += len(span)
	}
	n *= len(m.Problem.Linkage.Points)
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.kept += n; m.kept > mostKept {
		clear(m.looks)
		clear(m.runs)
		m.kept = 0
		if n <= mostKept/4 {
			m.looks[key], m.kept = l, n
		}
	}
}

// ranAt is the run at a travel setting that has found most; nil if there is none.
func (m *Engine) ranAt(travel []float64) *Run {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.runs[SettingKey(travel)]
}

// keepRun keeps a run for the next that is wanted at its setting, for as long as its positions are kept.
func (m *Engine) keepRun(r *Run) {
	key := SettingKey(r.Travel)
	m.mu.Lock()
	defer m.mu.Unlock()
	if was := m.runs[key]; m.looks[key] == nil || was != nil && !r.found.covers(was.found) {
		return
	}
	if m.runs == nil {
		m.runs = make(map[string]*Run)
	}
	m.runs[key] = r
}
