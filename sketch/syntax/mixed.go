package syntax

import (
	"fmt"
	"strconv"
	"strings"
)

// A mixed number has a blank: 4 1/2. Many write it with a stroke or a point instead, which would silently be a sum.

// mixedBySign tells of 4-1/2 and 4.1/2 at their last number, of which most mean four and a half and the sum is another
// figure. x-1/2, 4 - 1/2, 1.5/2 and 0.5/8 are sums and nothing else.
func (p *parser) mixedBySign(t token) bool {
	if p.at < 2 {
		return false
	}
	first, sign := p.tokens[p.at-2], p.tokens[p.at-1]
	if first.kind != numberToken || first.unit != Bare || !first.touches(sign) || !sign.touches(t) {
		return false
	}
	whole, rest, ok := p.text(first), p.text(t), false
	end := len(rest) - len(strings.TrimLeft(rest, "0123456789/¼½¾⅛⅜⅝⅞"))
	number, unit := rest[:end], rest[end:]
	var fraction, apart string
	switch {
	case sign.isSign('-'):
		fraction, apart = number, whole+" - "+rest
		ok = isDigits(whole) && strings.ContainsAny(number, "/¼½¾⅛⅜⅝⅞") && t.value < 1
	case sign.isSign('/') && isDigits(number):
		apart = whole + " / " + rest
		var over string
		if whole, over, ok = strings.Cut(whole, "."); ok {
			fraction = over + "/" + number
			ok = isDigits(whole) && isDigits(over) && numeral(whole) > 0 && numeral(over) < t.value
		}
	}
	if !ok {
		return false
	}
	text := p.file.SpanText(Span{first.span.Start, t.span.End})
	p.failAt(Span{first.span.Start, t.span.End}, shortened(text)+" can be read in two ways", fmt.Sprintf(
		"write %s %s%s for the mixed number, or %s for the sum", shortened(whole), shortened(fraction), unit, shortened(apart)))
	return true
}

func isDigits(text string) bool { return text != "" && strings.Trim(text, "0123456789") == "" }

// numeral is the value of digits.
func numeral(digits string) float64 {
	v, _ := strconv.ParseFloat(digits, 64) // of this form: an error is only that it is too large
	return v
}
