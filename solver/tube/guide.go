package tube

import (
	"context"
	"encoding/binary"
	"math"

	"barover/solver/linkage"
)

// Guide knows the motion position by position. It says where the motion starts, and where to start again beyond a stretch
// without an enclosure.
type Guide interface {
	// Position returns the scalars of the Schedule at a position, false where there is none.
	Position(turn float64, travel, scalars []float64) bool
	// Resume returns the first turn from here on at which there is a position, false if there is none.
	Resume(turn float64, travel []float64) (float64, bool)
	// Stretches lists what is within half (rad) of the change points that the motion passes straight on.
	Stretches(half float64, travel []float64) []linkage.Stretch
	// Assembled lists where within a stretch of the turn the motion exists.
	Assembled(over Range, travel []float64) []Range
	// Fold returns the first dead centre within a stretch of the turn, rad, at which the motion ends or begins; nil where there
	// is none.
	Fold(over Range, travel []float64) *linkage.Fold
}

// follower is a Guide that follows a linkage.
type follower struct {
	ctx    context.Context
	l      *linkage.Linkage
	over   Range
	follow func(context.Context, []float64) (*linkage.Motion, error)
	whole  map[string]*linkage.Motion // by travel setting; nil where it cannot be followed
	starts map[string]*linkage.Motion
	pose   linkage.Pose
}

// Following returns a Guide over the motions of a linkage over a stretch of the turn. follow returns the motion at a
// travel setting; if nil, the linkage is followed every degree.
func Following(ctx context.Context, l *linkage.Linkage, over Range, follow func(context.Context, []float64) (*linkage.Motion, error)) Guide {
	f := &follower{ctx: ctx, l: l, over: over, follow: follow, whole: map[string]*linkage.Motion{}, starts: map[string]*linkage.Motion{}}
	if follow == nil {
		f.follow = func(ctx context.Context, travel []float64) (*linkage.Motion, error) {
			return l.Follow(ctx, travel, over.From, over.To, degree)
		}
	}
	return f
}

// motion returns the motion at a travel setting: only its first position where that is enough.
func (f *follower) motion(turn float64, travel []float64) *linkage.Motion {
	kept := f.whole
	if turn == f.over.From {
		kept = f.starts
	}
	key := make([]byte, 0, 8*len(travel))
	for _, v := range travel {
		key = binary.LittleEndian.AppendUint64(key, math.Float64bits(v))
	}
	mo, ok := kept[string(key)]
	if ok {
		return mo
	}
	var err error
	if turn == f.over.From {
		mo, err = f.l.Follow(f.ctx, travel, turn, turn, degree)
	} else {
		mo, err = f.follow(f.ctx, travel)
	}
	if err != nil {
		mo = nil
	}
	kept[string(key)] = mo
	return mo
}

func (f *follower) Position(turn float64, travel, scalars []float64) bool {
	mo := f.motion(turn, travel)
	if mo == nil {
		return false
	}
	if s := mo.At(turn, &f.pose); s != linkage.Solved && s != linkage.DeadCentre {
		return false
	}
	f.l.Scalars(&f.pose, scalars)
	return true
}

func (f *follower) Resume(turn float64, travel []float64) (float64, bool) {
	mo := f.motion(f.over.To, travel)
	if mo == nil {
		return 0, false
	}
	for _, s := range mo.Spans() {
		if s[1] <= turn {
			continue
		}
		from := max(turn, s[0])
		for _, b := range mo.Broken() { // its branch beyond such a place is not known
			if b.Either() && b.From <= from && turn <= b.To {
				return 0, false
			}
		}
		return from, true
	}
	return 0, false
}

func (f *follower) Stretches(half float64, travel []float64) []linkage.Stretch {
	if mo := f.motion(f.over.To, travel); mo != nil {
		return mo.Stretches(half)
	}
	return nil
}

func (f *follower) Fold(over Range, travel []float64) *linkage.Fold {
	if mo := f.motion(f.over.To, travel); mo != nil {
		return mo.Fold(over.From, over.To)
	}
	return nil
}

func (f *follower) Assembled(over Range, travel []float64) (out []Range) {
	if mo := f.motion(f.over.To, travel); mo != nil {
		for _, s := range mo.Spans() {
			if r := (Range{max(s[0], over.From), min(s[1], over.To)}); r.From < r.To || s[0] == s[1] && r.From == r.To {
				out = append(out, r)
			}
		}
	}
	return out
}
