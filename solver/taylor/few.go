package taylor

// Few is some of the deviations of a space.
type Few struct {
	Space *Space // with these alone
	Devs  []int  // their numbers among all, in rising order

	of  []int32 // of each coefficient: which that is with all of them; nil for all of them
	all int
}

// Few returns some of the deviations: a bit for each.
func (s *Space) Few(set uint64) Few {
	f := Few{Space: s, Devs: make([]int, 0, s.Devs), all: s.Devs}
	for i := range s.Devs {
		if set>>i&1 != 0 {
			f.Devs = append(f.Devs, i)
		}
	}
	if len(f.Devs) < s.Devs {
		f.Space, f.of = s.among(f.Devs)
	}
	return f
}

// among returns the space with some of the deviations alone, and the number in s of each of its coefficients.
func (s *Space) among(devs []int) (few *Space, of []int32) {
	few = kept(s.Vars, s.Order, len(devs))
	of = make([]int32, few.N)
	for i := range of {
		m := few.at(i)
		for k, d := range m.dev {
			if d >= 0 {
				m.dev[k] = int16(devs[d])
			}
		}
		of[i] = int32(s.place[m])
	}
	return few, of
}

// All reports whether these are all deviations of the space.
func (f *Few) All() bool { return f.of == nil }

// Less returns a polynomial with these deviations alone. It has no others.
func (f *Few) Less(c []float64) []float64 {
	if f.of == nil || c == nil {
		return c
	}
	out := make([]float64, len(f.of))
	for i, k := range f.of {
		out[i] = c[k]
	}
	return out
}

// Among returns a value for each of all deviations: zero for those that are not of the few.
func (f *Few) Among(few []float64) []float64 {
	out := make([]float64, f.all)
	for i, k := range f.Devs {
		out[k] = few[i]
	}
	return out
}

// Of returns the values of the few among those of all deviations.
func (f *Few) Of(all []float64) []float64 {
	if f.of == nil {
		return all
	}
	out := make([]float64, len(f.Devs))
	for i, k := range f.Devs {
		out[i] = all[k]
	}
	return out
}

// Cut returns a cut of all deviations for the few alone.
func (f *Few) Cut(all *Cut) Cut { return Cut{Mid: f.Of(all.Mid), Half: f.Of(all.Half), Off: all.Off} }

// Wide returns a cut of the few as one of all deviations, the others uncut.
func (f *Few) Wide(few *Cut) *Cut {
	out := &Cut{Mid: f.Among(few.Mid), Half: make([]float64, f.all)}
	for i := range out.Half {
		out.Half[i] = 1
	}
	for i, k := range f.Devs {
		out.Half[k] = few.Half[i]
	}
	return out
}
