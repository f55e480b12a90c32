package engine

import (
	"math"
	"slices"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
)

// SettingsOf lists every travel setting: the product of the travels' settings, the first travel changing slowest. With no
// travels there is one setting, the empty one.
func SettingsOf(travels []solver.Travel) ([][]float64, error) {
	total := 1
	for _, t := range travels {
		n := max(len(t.Settings), 1)
		if total > MaxSettings/n {
			return nil, linkage.Faults{&linkage.Fault{Kind: linkage.BadValue, Stmt: t.Stmt,
				Msg: "the travels have too many settings together", Help: "a larger step"}}
		}
		total *= n
	}
	out := make([][]float64, total)
	for i := range out {
		out[i] = make([]float64, len(travels))
		rest := i
		for k := len(travels) - 1; k >= 0; k-- {
			out[i][k] = travels[k].Rest
			if n := len(travels[k].Settings); n > 0 {
				out[i][k] = travels[k].Settings[rest%n]
				rest /= n
			}
		}
	}
	return out, nil
}

// studied returns the travels for a study that needs these sums besides the Problem's own questions. A travel that
// affects nothing stays at rest: all answers are the same at any of its settings, and each setting would cost as much
// again.
func studied(p *solver.Problem, sums ...expr.ID) []solver.Travel {
	set := Followed(p, sums...)
	out := slices.Clone(p.Travels)
	for k := range out {
		t := &out[k]
		if set&expr.TravelBit(k) == 0 && (t.Range || oneOf(t.Settings, t.Rest)) {
			t.Range, t.Settings = false, []float64{t.Rest}
		}
	}
	return out
}

// Idle reports whether a travel from studied has one setting alone.
func Idle(t *solver.Travel) bool { return !t.Range && len(t.Settings) == 1 }

// Followed is the set of travels, as expr.Graph.Travels gives it, that affect the motion, an answer or one of these sums.
func Followed(p *solver.Problem, sums ...expr.ID) (set uint64) {
	add := func(ids ...expr.ID) {
		for _, id := range ids {
			set |= p.Graph.Travels(id)
		}
	}
	add(sums...)
	add(Everything(p).Sums(p)...)
	for i := range p.Checks {
		add(p.Checks[i].AtLeast, p.Checks[i].AtMost)
	}
	add(p.Sideplay...)
	solver.LinkageTouched(p.Linkage, func(ids ...expr.ID) bool {
		add(ids...)
		return false
	})
	return set
}

// RestSetting returns the travels at rest.
func RestSetting(travels []solver.Travel) []float64 {
	out := make([]float64, len(travels))
	for k, t := range travels {
		out[k] = t.Rest
	}
	return out
}

// WithRest lists the settings that a study samples, rest first, even where rest is not a step of a range.
func WithRest(settings [][]float64, rest []float64) [][]float64 {
	out := [][]float64{rest}
	for _, s := range settings {
		if !SameSetting(s, rest) {
			out = append(out, s)
		}
	}
	return out
}

// SameSetting reports whether two settings are the same within rounding.
func SameSetting(a, b []float64) bool {
	for k := range a {
		if !(math.Abs(a[k]-b[k]) <= 1e-9) {
			return false
		}
	}
	return true
}

// Looked returns the settings that a study samples, and the index of the one that is reported first: rest, if it is sampled.
func (m *Engine) Looked() (settings [][]float64, first int) { return lookedAt(m.Travels) }

func lookedAt(travels []solver.Travel) (settings [][]float64, first int) {
	settings = LookedSettings(travels)
	rest := RestSetting(travels)
	return settings, max(0, slices.IndexFunc(settings, func(s []float64) bool { return SameSetting(s, rest) }))
}

// LookedSettings lists every setting of travels. It includes the rest of a range even where that is between its steps.
func LookedSettings(travels []solver.Travel) [][]float64 {
	settings, err := SettingsOf(travels)
	if err != nil { // cannot happen: there are no more of them than of the Engine's
		return [][]float64{RestSetting(travels)}
	}
	for _, t := range travels {
		if t.Range && !oneOf(t.Settings, t.Rest) {
			return append(ListSettings(travels), settings...)
		}
	}
	return settings
}

// FirstAhead lists the numbers below n, with first at the front.
func FirstAhead(n, first int) []int {
	out := []int{first}
	for i := range n {
		if i != first {
			out = append(out, i)
		}
	}
	return out
}

func oneOf(list []float64, v float64) bool {
	return slices.ContainsFunc(list, func(x float64) bool { return SameSetting([]float64{x}, []float64{v}) })
}

// ListSettings is the product of the lists; ranges are at rest.
func ListSettings(travels []solver.Travel) [][]float64 {
	lists := slices.Clone(travels)
	for i, t := range travels {
		if t.Range {
			lists[i].Settings = []float64{t.Rest}
		}
	}
	settings, err := SettingsOf(lists)
	if err != nil { // cannot happen: there are no more of them than of the Engine's
		return [][]float64{RestSetting(travels)}
	}
	return settings
}
