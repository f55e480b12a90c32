package machine

import (
	"context"
	"slices"
	"sync"
	"sync/atomic"

	"barover/solver/engine"
	"barover/solver/spare"
)

// atlas keeps the settings sampled between steps, each solved once for all aims: the motion round the turn costs more than what
// one aim asks there. Each aim chooses its own settings, so that its figure does not depend on what else is asked.
type atlas struct {
	s         *survey
	ctx       context.Context
	questions []question
	at        spare.Once[string, *lookedFrom] // the answers to the questions, by setting
	settings  atomic.Int32
}

// runsKept is how many motions are kept. For any further setting all questions are answered at once, and the motion is dropped.
const runsKept = 200

// lookedFrom is a sampled setting with the answers (seen) to the questions that have been asked there (have).
type lookedFrom struct {
	mu   sync.Mutex
	keep bool
	run  *engine.Run
	seen []engine.Sight
	have []bool
}

// look returns the answer to one question at a setting, and samples the setting if that is new.
func (a *atlas) look(travel []float64, question int) (engine.Sight, error) {
	l, err := a.at.Get(engine.SettingKey(travel), func() (*lookedFrom, error) {
		n := len(a.questions)
		return &lookedFrom{keep: a.settings.Add(1) <= runsKept, seen: make([]engine.Sight, n), have: make([]bool, n)}, nil
	})
	if err != nil {
		return engine.Sight{}, err
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.have[question] {
		return l.seen[question], nil
	}
	if l.run == nil {
		r, err := a.s.m.RunFor(a.ctx, travel, a.s.need)
		if err != nil {
			return engine.Sight{}, err
		}
		l.run = r
	}
	for i, q := range a.questions {
		if i == question || !l.keep {
			l.seen[i], l.have[i] = q.sight(l.run), a.ctx.Err() == nil
		}
	}
	if !l.keep || !slices.Contains(l.have, false) {
		l.run = nil
	}
	return l.seen[question], a.ctx.Err()
}
