// Package fits knows the limit deviations of ISO 286 for the classes that are used in the shop, up to 500 mm.
//
// A class is a letter and a grade: the letter says where the tolerance lies (capitals for holes, small letters for
// shafts), the grade how wide it is. The tables are those of the standard; its formulas round to other values here and
// there (IT6 of 3 to 6 mm is 8, the formula gives 7.3), and the tables win.
//
// Source of the tables: ISO 286-1, tables of standard tolerances and of fundamental deviations, written down from
// memory. H7, g6, f7 and h6 from 3 to 30 mm were compared with a published copy.
//
// It knows no sketch. A newcomer may add a class with its source.
package fits

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Known lists the classes in words, for messages.
const Known = "known are holes C D E F G H JS K M N P R S and shafts c d e f g h js k m n p r s, grades 5 to 11, such as H7 or g6"

// micron is a thousandth of a millimetre, in mm. All tables are in it.
const micron = 1e-3

// The grades that are known.
const (
	firstGrade = 5
	lastGrade  = 11
)

// Deviations are the lower and the upper limit deviation, mm, of a class such as "H7" for a part of that nominal size, mm.
func Deviations(class string, size float64) (lower, upper float64, err error) {
	letter, grade, err := split(class)
	if err != nil {
		return 0, 0, err
	}
	if !(size > 0 && size <= sizes[len(sizes)-1]) {
		return 0, 0, fmt.Errorf("the fit %s is known for sizes over 0 and up to %g mm, and this is %.4g mm", class, sizes[len(sizes)-1], size)
	}
	width := standard(grade, size)
	hole := letter == strings.ToUpper(letter)
	if strings.EqualFold(letter, "js") {
		return -width / 2 * micron, width / 2 * micron, nil
	}
	if hole {
		return holeDeviations(letter, grade, size, width)
	}
	es, ei := shaftDeviations(letter, grade, size, width)
	return ei * micron, es * micron, nil
}

// Help says what to write instead of a class that is not known.
func Help(class string) string {
	if _, _, err := split(class); err == nil {
		return "write the deviations: tol V to V"
	}
	if strings.HasPrefix(strings.ToLower(class), "j") && !strings.HasPrefix(strings.ToLower(class), "js") {
		return "for the classes j and J, write the deviations: tol V to V"
	}
	return Known + "; for others write the deviations: tol V to V"
}

// split splits a class and checks that it is known.
func split(class string) (letter string, grade int, err error) {
	letter = strings.TrimRight(class, "0123456789")
	grade, bad := strconv.Atoi(class[len(letter):])
	small := strings.ToLower(letter)
	oneCase := letter == small || letter == strings.ToUpper(letter)
	if bad != nil || !oneCase || !slices.Contains(letters, small) {
		return "", 0, fmt.Errorf("the fit %s is not known", class)
	}
	if grade < firstGrade || grade > lastGrade {
		return "", 0, fmt.Errorf("the fit %s is of a grade that is not known", class)
	}
	return letter, grade, nil
}

// row finds the range that a size belongs to: a size that is the upper limit of a range belongs to that range.
func row(limits []float64, size float64) int {
	i, _ := slices.BinarySearchFunc(limits, size, func(limit, size float64) int {
		if limit < size-1e-9 { // a size given in inches is not exactly the limit
			return -1
		}
		return 1
	})
	return min(i, len(limits)-1)
}

// shaftDeviations are the upper and lower deviations of a shaft, µm.
func shaftDeviations(letter string, grade int, size, width float64) (es, ei float64) {
	d := fundamental(letter, size)
	if letter <= "h" {
		return -d, -d - width
	}
	if letter == "k" && grade > 7 {
		d = 0
	}
	return d + width, d
}

// holeDeviations are the lower and upper deviations of a hole. A hole of a letter up to H is the mirror of the shaft. A
// hole beyond H has as its upper deviation the mirrored lower one of the shaft, raised for the finer grades by Δ = IT(n)
// − IT(n−1). So a hole and a shaft one grade finer fit as the shaft of the same letter does in the basic hole.
func holeDeviations(letter string, grade int, size, width float64) (lower, upper float64, err error) {
	small := strings.ToLower(letter)
	d := fundamental(small, size)
	if small <= "h" {
		return d * micron, (d + width) * micron, nil
	}
	es := -d
	raised := grade <= 7
	if small == "k" || small == "m" || small == "n" {
		raised = grade <= 8
	}
	small3 := size <= sizes[0]+1e-9
	switch {
	case small == "k" && small3:
		es = 0
	case small == "k" && !raised:
		return 0, 0, fmt.Errorf("the fit %s%d is not known: K goes to grade 8", letter, grade)
	case small == "n" && !raised && !small3:
		es = 0
	case small == "m" && grade == 6 && size > 250 && size <= 315+1e-9:
		es = -9 // the standard's one exception, for -11
	case raised && !small3:
		es += width - standard(grade-1, size)
	}
	return (es - width) * micron, es * micron, nil
}

// standard is the width of a standard tolerance, µm. The tables begin one grade below the first known grade, for Δ.
func standard(grade int, size float64) float64 {
	return tolerances[grade-firstGrade+1][row(sizes, size)]
}

// fundamental is the fundamental deviation of a shaft without its sign, µm.
func fundamental(letter string, size float64) float64 {
	if t, ok := fine[letter]; ok {
		return t[row(fineSizes, size)]
	}
	return coarse[letter][row(sizes, size)]
}
