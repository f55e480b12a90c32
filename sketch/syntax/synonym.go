package syntax

import "slices"

// synonyms are words that people try where the language has another word.
var synonyms = map[string]string{
	"dimension": "dim", "parameter": "dim", "value": "dim", "let": "dim", "var": "dim", "actual": "made", "planned": "plan",
	"include": "use", "import": "use", "sheet": "paper", "unit": "units", "joint": "point", "pin": "point", "pivot": "point",
	"crank": "turn", "distance": "length", "link": "part", "rod": "part", "body": "part", "clearance": "clear", "output": "measure",
	"diameter": "dia", "diam": "dia", "d": "dia", "width": "wide", "thickness": "thick", "center": "centre", "centered": "centred",
	"circle": "disc", "disk": "disc", "rectangle": "box", "rect": "box", "bar": "strip", "slot": "strip", "polygon": "path",
	"inch": "in", "inches": "in", "millimetres": "mm", "millimeters": "mm", "º": "deg", "degrees": "deg", "degree": "deg",
	"tolerance": "tol", "maximum": "greatest", "minimum": "least", "max": "greatest", "min": "least", "r": "radius", "rad": "radius",
	"over": "above", "under": "below", "until": "to", "via": "through", "rise": "rises", "fall": "falls", "show": "showing",
	"direction": "heading", "position": "at", "initial": "rest", "start": "rest", "increment": "step", "each": "every", "ccw": "left", "cw": "right",
}

// likely is the candidate that a word most likely means: the word itself, the nearest by its letters, or another word for
// the same thing; "" where none is likely.
func likely(word string, candidates []string) string {
	if slices.Contains(candidates, word) {
		return word
	}
	if s := synonyms[word]; s != "" && slices.Contains(candidates, s) {
		return s
	}
	return Nearest(word, candidates)
}
