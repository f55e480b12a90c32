package serve

import (
	"barover/render/sheet"

	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"time"

	"barover/cmd/barover/follow"
	screen "barover/render/page"
	"barover/render/report"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/machine"
)

// Session is one sketch of a page: the text of its files now, and its solved engine.
type Session struct {
	pick            sheet.Pick
	follow.Followed // of the one goroutine that follows saves
	number          int
	Cancel          context.CancelFunc // cancels the current work
	ended           chan struct{}      // closed when that work has ended; nil before there is any

	mu     sync.Mutex
	now    *version // the last good version; nil before there is one
	before *version // the version that the last save replaced; nil before there is one
	state  pageState
	told   []byte // state as it is sent
	hear   map[chan<- struct{}]bool
}

// pageState is what a page receives about a sketch, whole, at each step.
type pageState struct {
	File     int             `json:"file"`
	Name     string          `json:"name"`
	Seq      int             `json:"seq"`     // goes up with every change of the state
	Version  int             `json:"version"` // of the engine; 0 before there is one
	Before   bool            `json:"before"`  // there is an engine that the last save replaced
	Saved    float64         `json:"saved"`   // when the file was last saved, ms since 1970
	Done     bool            `json:"done"`    // every answer is there
	Found    int             `json:"found"`
	Total    int             `json:"total"`
	Sentence string          `json:"sentence"`
	Sure     string          `json:"sure"`
	Mistake  string          `json:"mistake"` // why the sketch as it is now cannot be used; "" where it can
	Answers  []screen.Answer `json:"answers"`
}

func NewSession(number int, path string, o sketch.Options, pick sheet.Pick) *Session {
	s := &Session{pick: pick, Followed: follow.Followed{Path: path, Values: o}, number: number, Cancel: func() {}, hear: map[chan<- struct{}]bool{}}
	s.state = pageState{File: number, Name: path, Answers: []screen.Answer{}}
	s.told = s.encoded()
	return s
}

// Begin reads the sketch, which takes no time, and has it solved, which may. It cancels work for an older text.
func (s *Session) Begin(ctx context.Context) {
	s.Cancel()
	before := s.ended
	s.Read()
	sk, messages := s.Sketch, s.Messages
	if len(messages) == 0 && sk.Statements() == 0 { // some editors save in two steps, and the file is empty between them
		messages = []syntax.Message{{Text: s.Path + ": there is nothing in it yet"}}
	}
	saved := s.lastSave()
	work, cancel := context.WithCancel(ctx)
	ended := make(chan struct{})
	s.Cancel, s.ended = cancel, ended
	go func() {
		defer close(ended)
		defer cancel()
		if before != nil {
			<-before
		}
		if work.Err() == nil {
			s.solve(work, sk, messages, saved)
		}
	}()
}

// lastSave is when one of the files was last saved; now where that is long ago, as it is at the start.
func (s *Session) lastSave() (last time.Time) {
	for path := range s.Texts {
		if info, err := os.Stat(path); err == nil && info.ModTime().After(last) {
			last = info.ModTime()
		}
	}
	if time.Since(last) > time.Minute {
		return time.Now()
	}
	return last
}

// solve puts an engine together and answers the checks. It sends the page each step: the motion first, then the answers
// as they are proved.
func (s *Session) solve(ctx context.Context, sk *sketch.Sketch, messages []syntax.Message, saved time.Time) {
	defer s.ownMistake(saved)
	e, err := assembled.AssembleRead(sk, messages)
	if err == nil {
		err = report.KnownPick(s.pick, e)
	}
	if err != nil {
		s.mistaken(err, saved)
		return
	}
	v := newVersion(e, s.pick)
	if !s.replace(ctx, v, saved) {
		return
	}
	p := &proving{s: s, v: v, ctx: ctx}
	res, err := e.Machine.Study(ctx, machine.Options{Checks: true, Levers: machine.ShortLevers, Found: p.found, Answered: p.answered})
	switch {
	case ctx.Err() != nil:
	case err != nil:
		s.mistaken(assembled.InMessages(e.Sketch, err), saved)
	default:
		p.answered(*res) // now with what would mend the checks that fall short
	}
}

// ownMistake shows a mistake of barover's own on the page instead of ending it.
func (s *Session) ownMistake(saved time.Time) {
	if fault := recover(); fault != nil {
		stack := debug.Stack()
		if r, ok := fault.(*solver.Raised); ok {
			stack = r.Stack
		}
		s.mistaken(fmt.Errorf("this is a mistake in barover itself, not in the sketch: %v\n%s", fault, stack), saved)
	}
}

// mostMistakes is how many mistakes are shown at once.
const mostMistakes = 5

// mistaken keeps the last good engine, with what is wrong now.
func (s *Session) mistaken(why error, saved time.Time) {
	var b strings.Builder
	messages := syntax.MessagesIn(why)
	for i, m := range messages {
		if i == mostMistakes {
			fmt.Fprintf(&b, "and %d more\n", len(messages)-i)
			break
		}
		b.WriteString(m.String())
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.state.Mistake, s.state.Saved = strings.TrimRight(b.String(), "\n"), milliseconds(saved)
	s.announce()
}

// replace puts a new engine in the place of the last good one.
func (s *Session) replace(ctx context.Context, v *version, saved time.Time) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if ctx.Err() != nil {
		return false
	}
	if s.now != nil && s.now.done.Load() != nil { // an engine that was not answered in time is nothing to compare with
		s.before = s.now
	}
	if s.before != nil {
		s.before.others = nil // nobody asks for them again
	}
	v.number, s.now = s.state.Version+1, v
	s.state = pageState{File: s.number, Name: s.Path, Seq: s.state.Seq, Version: v.number, Before: s.before != nil,
		Saved: milliseconds(saved), Total: len(v.e.Problem.Checks), Answers: []screen.Answer{}}
	s.announce()
	return true
}

// tell changes the state, if it is still about v.
func (s *Session) tell(ctx context.Context, v *version, change func(*pageState)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.now != v || ctx.Err() != nil {
		return
	}
	change(&s.state)
	s.announce()
}

// announce wakes all listeners. They take the newest state when they come to it, so a slow one holds no more than that.
// The caller has the lock.
func (s *Session) announce() {
	s.state.Seq++
	s.told = s.encoded()
	for c := range s.hear {
		select {
		case c <- struct{}{}:
		default: // it has been woken already
		}
	}
}

func (s *Session) encoded() []byte {
	b, err := json.Marshal(&s.state)
	if err != nil {
		panic(err) // it is made of figures and text
	}
	return b
}

// listen has c woken at every change until letGo is called.
func (s *Session) listen(c chan<- struct{}) (letGo func()) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.hear[c] = true
	return func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		delete(s.hear, c)
	}
}

// current is the state as it is sent, and its number.
func (s *Session) current() ([]byte, int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.told, s.state.Seq
}

func milliseconds(t time.Time) float64 { return float64(t.UnixMicro()) / 1000 }

// proving collects what is proved, and sends it to the page now and then.
type proving struct {
	s   *Session
	v   *version
	ctx context.Context

	mu   sync.Mutex
	have []solver.Finding
	last time.Time
}

// tellEvery is how often answers are sent to a page while more are to come.
const tellEvery = 80 * time.Millisecond

// found adds one finding. Many goroutines call it.
func (p *proving) found(f solver.Finding) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.have = append(p.have, f)
	now := time.Now()
	if p.last.IsZero() {
		p.last = now
	}
	if now.Sub(p.last) < tellEvery {
		return
	}
	p.last = now
	answers, n := report.AnswersSoFar(p.v.e, slices.Clone(p.have)), len(p.have)
	p.s.tell(p.ctx, p.v, func(t *pageState) { t.Answers, t.Found = answers, n })
}

// answered adds all answers.
func (p *proving) answered(res solver.Result) {
	a := p.v.answer(p.ctx, &res)
	p.s.tell(p.ctx, p.v, func(t *pageState) {
		t.Answers, t.Done, t.Found = a.answers, true, t.Total
		t.Sentence, t.Sure = a.report.Sentence(), a.sure
	})
}

// errGone says that the version asked for has gone, or is not there yet.
var errGone = errors.New("the sketch has been saved since")

// at is the engine of a number, or the engine to compare it with under a key.
func (s *Session) at(number int, key string) (*version, error) {
	s.mu.Lock()
	now, before := s.now, s.before
	s.mu.Unlock()
	if now == nil || now.number != number {
		return nil, errGone
	}
	switch {
	case key == "":
		return now, nil
	case key == "before" && before == nil:
		return nil, errGone
	case key == "before":
		return before, nil
	}
	return now.other(key)
}
