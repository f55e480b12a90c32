package syntax

// unitMeanings is what each unit is.
var unitMeanings = map[Unit]string{
	MM: "millimetres", CM: "centimetres", M: "metres", Inch: "inches, of 25.4 mm", Thou: "thousandths of an inch", Degree: "degrees", Radian: "radians",
}

// UnitForms is every unit that may touch a number: the words, and the signs " and °.
func UnitForms() []Form {
	var out []Form
	for _, w := range unitWords {
		out = append(out, Form{w, unitMeanings[units[w]]})
	}
	return append(out, Form{`"`, unitMeanings[Inch]}, Form{"°", unitMeanings[Degree]})
}

// Likely is the word of the language that a strange word most likely means; "" where none is likely.
func Likely(word string) string { return likely(word, reservedWords) }
