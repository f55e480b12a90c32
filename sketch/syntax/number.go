package syntax

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// fractionSigns are the fractions that are one character.
var fractionSigns = map[rune]float64{'¼': 1. / 4, '½': 1. / 2, '¾': 3. / 4, '⅛': 1. / 8, '⅜': 3. / 8, '⅝': 5. / 8, '⅞': 7. / 8}

func isFractionSign(r rune) bool { return fractionSigns[r] != 0 }

// units are the words that may touch a number.
var units = map[string]Unit{"mm": MM, "cm": CM, "m": M, "in": Inch, "thou": Thou, "deg": Degree, "rad": Radian}

var unitWords = []string{"mm", "cm", "m", "in", "thou", "deg", "rad"}

const unitList = `the units are mm cm m in thou " for lengths, deg rad ° for angles`

// number makes a token of the number that begins here: 12, 0.5, .5, 1e-3, 3/8, 5 1/4, ¼, 5¼, 5 ¼, and the unit that
// touches it. A fraction is whole numbers with only the stroke between them: 3 / 8 and 1.5/2 are sums, and so is x^2/4.
// See also mixedBySign.
func (s *scanner) number() {
	start := s.at
	value, ok := s.value()
	if !ok {
		return
	}
	if math.IsInf(value, 0) {
		s.bad(start, "the number is too large", "write a size that an engine has, such as 3/8 or 5 1/4")
		return
	}
	unit, ok := s.unit(start)
	if !ok {
		return
	}
	s.emit(start, token{kind: numberToken, value: value, unit: unit})
}

// value reads a number without its unit. It returns false where it made a bad token instead.
func (s *scanner) value() (float64, bool) {
	start := s.at
	power := s.behindPower()
	if r, n := s.peek(start); isFractionSign(r) {
		if s.at += n; power {
			s.bad(start, "after ^ a fraction needs brackets", fmt.Sprintf("write (%s)", s.text[start:s.at]))
			return 0, false
		}
		return fractionSigns[r], s.noMoreDigits(start)
	}
	s.digits()
	if s.decimals() {
		v, _ := strconv.ParseFloat(s.text[start:s.at], 64) // of this form, so the only error is that it is too large
		return v, s.noMoreDigits(start)
	}
	whole, _ := strconv.ParseFloat(s.text[start:s.at], 64) // the same
	if s.at < s.end && s.text[s.at] == '.' {
		help := "write " + s.text[start:s.at]
		if s.at++; s.at < s.end && s.text[s.at] == '.' {
			help = "a range is written with to between its ends: " + s.text[start:s.at-1] + " to V"
		}
		s.bad(start, "a point with no digit after it", help)
		return 0, false
	}
	if s.slantedFraction(start) {
		return 0, false
	}
	if power { // pi*d^2/4 is the area of a circle
		return whole, s.noMoreDigits(start)
	}
	if over, under, ok := s.fraction(start); ok {
		return s.ratio(start, 0, over, under)
	}
	return s.mixed(start, whole)
}

// behindPower reports whether the number of a power comes next: x^2, x^-2. There a fraction is no number. The ^ may be at
// the end of the line above.
func (s *scanner) behindPower() bool {
	last := func(k int) token {
		if k > len(s.out) {
			return token{}
		}
		return s.out[len(s.out)-k]
	}
	one := last(1)
	return one.isSign('^') || (one.isSign('-') || one.isSign('+')) && last(2).isSign('^')
}

// slantedFraction reports a fraction that is written with a stroke other than /, as in text copied from elsewhere.
func (s *scanner) slantedFraction(start int) bool {
	r, n := s.peek(s.at)
	if (r != '⁄' && r != '∕') || !s.digitAt(s.at+n) {
		return false
	}
	whole := s.text[start:s.at]
	s.at += n
	from := s.at
	s.digits()
	s.bad(start, fmt.Sprintf("%c is no stroke of a fraction", r), fmt.Sprintf("write %s/%s", whole, s.text[from:s.at]))
	return true
}

// mixed reads the fraction that follows a whole number, touching it (5¼) or after blanks (5 1/4, 5 ¼).
func (s *scanner) mixed(start int, whole float64) (float64, bool) {
	after := s.at
	s.skipBlanks()
	if r, n := s.peek(s.at); isFractionSign(r) {
		s.at += n
		return whole + fractionSigns[r], s.noMoreDigits(start)
	}
	if s.at > after && s.digitAt(s.at) {
		if over, under, ok := s.fraction(s.at); ok {
			return s.ratio(start, whole, over, under)
		}
	}
	s.at = after
	return whole, true
}

// fraction reads digits / digits; the first digits begin at from. It moves on only where there is a fraction.
func (s *scanner) fraction(from int) (over, under float64, ok bool) {
	before := s.at
	s.at = from
	s.digits()
	stroke := s.at
	if stroke >= s.end || s.text[stroke] != '/' || !s.digitAt(stroke+1) {
		s.at = before
		return 0, 0, false
	}
	s.at++
	s.digits()
	end := s.at
	if s.decimals() || end < s.end && s.text[end] == '.' { // 1/2.5 is a sum of two numbers
		s.at = before
		return 0, 0, false
	}
	over, _ = strconv.ParseFloat(s.text[from:stroke], 64)
	under, _ = strconv.ParseFloat(s.text[stroke+1:end], 64)
	return over, under, true
}

// ratio is whole + over/under, rounded once as long as the numbers are such as drawings have.
func (s *scanner) ratio(start int, whole, over, under float64) (float64, bool) {
	if under == 0 {
		s.bad(start, "a fraction over nothing", "write a number other than 0 below the stroke, as in 1/2")
		return 0, false
	}
	v := (whole*under + over) / under
	if math.IsNaN(v) {
		v = math.Inf(1)
	}
	return v, s.noMoreDigits(start)
}

// digits moves over digits.
func (s *scanner) digits() {
	for s.digitAt(s.at) {
		s.at++
	}
}

// decimals moves over .5, e-3 and .5e-3, and says whether there were any.
func (s *scanner) decimals() bool {
	from := s.at
	if s.at < s.end && s.text[s.at] == '.' && s.digitAt(s.at+1) {
		s.at++
		s.digits()
	}
	if s.at < s.end && (s.text[s.at] == 'e' || s.text[s.at] == 'E') {
		power := s.at + 1
		if power < s.end && (s.text[power] == '+' || s.text[power] == '-') {
			power++
		}
		if s.digitAt(power) {
			s.at = power
			s.digits()
		}
	}
	return s.at > from
}

// noMoreDigits checks that a number has ended: 0.5¼, ¼5 and 1.2.3 are not numbers.
func (s *scanner) noMoreDigits(start int) bool {
	r, _ := s.peek(s.at)
	if !isFractionSign(r) && !s.digitAt(s.at) && !(r == '.' && s.digitAt(s.at+1)) {
		return true
	}
	for r, n := s.peek(s.at); n > 0 && (isFractionSign(r) || r == '.' || '0' <= r && r <= '9'); r, n = s.peek(s.at) {
		s.at += n
	}
	s.bad(start, "this is no number: "+shortened(s.text[start:s.at]), "write 0.5, 3/8, 5 1/4 or 5¼")
	return false
}

// unit reads the unit that touches the number from start to here.
func (s *scanner) unit(start int) (Unit, bool) {
	switch r, n := s.peek(s.at); {
	case r == '"':
		s.at += n
		return Inch, true
	case r == '°':
		s.at += n
		return Degree, true
	case n == 0 || s.nameEnd(s.at) == s.at:
		return Bare, true
	}
	end := s.nameEnd(s.at)
	word := s.text[s.at:end]
	if u, ok := units[word]; ok {
		s.at = end
		return u, true
	}
	digits := s.text[start:s.at]
	s.at = end
	s.bad(start, shortened(word)+" is no unit", unitHelp(digits, word))
	return Bare, false
}

// unitHelp says what to write where a word that is no unit touches a number.
func unitHelp(digits, word string) string {
	switch word {
	case "inch", "inches", "ins", "In", "IN", "INCH":
		return "write " + digits + "in"
	case "º", "ᵒ", "degree", "degrees", "degs":
		return "write " + digits + "°"
	case "mil", "mils", "thous":
		return "write " + digits + "thou"
	}
	if isReserved[word] && !isFunctionName(word) && word != "pi" {
		return fmt.Sprintf("write a blank: %s %s", digits, word)
	}
	if rest, ok := strings.CutPrefix(word, "x"); ok && rest != "" && strings.Trim(rest, "0123456789") == "" {
		return fmt.Sprintf("a product is written %s*%s", digits, rest)
	}
	if word == "ft" || word == "feet" || word == "foot" {
		return fmt.Sprintf("feet are no unit here: write inches, %s*12in", digits)
	}
	product := fmt.Sprintf("a product is written %s*%s", digits, shortened(word))
	if u := Nearest(word, unitWords); u != "" && len(word) > 1 {
		return fmt.Sprintf("did you mean %s%s? %s", digits, u, product)
	}
	return product + "; " + unitList
}
