package figures

import "barover/sketch"

// InWords says which values of the dimensions count.
func InWords(sk *sketch.Sketch) string {
	words := "case " + sk.Shown
	switch sk.Shown {
	case "now":
		words = "as it stands"
	case "drawn":
		words = "as drawn"
	}
	between := " with "
	for _, d := range DimsSet(sk) {
		words += between + d.Name + " = " + sk.Units.Value(d.Value, d.Kind)
		between = ", "
	}
	return words
}

func DimsSet(sk *sketch.Sketch) (set []*sketch.Dim) {
	for i := range sk.Dims {
		if sk.Dims[i].Source == sketch.FromSet {
			set = append(set, &sk.Dims[i])
		}
	}
	return set
}
