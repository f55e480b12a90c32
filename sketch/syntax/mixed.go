package syntax

import (
	"fmt"
	"strings"
)

// A mixed number has a blank: 4 1/2. Many write it with a stroke instead, which would silently be a sum.

// mixedBySign reports 4-1/2 at its last number, of which most mean four and a half and the sum is another figure. x-1/2 and
// 4 - 1/2 are sums and nothing else, and so is 2.5/8.
func (p *parser) mixedBySign(t token) bool {
	if p.at < 2 {
		return false
	}
	first, sign := p.tokens[p.at-2], p.tokens[p.at-1]
	if first.kind != numberToken || first.unit != Bare || !sign.isSign('-') || !first.touches(sign) || !sign.touches(t) {
		return false
	}
	whole, rest := p.text(first), p.text(t)
	number := rest[:len(rest)-len(strings.TrimLeft(rest, "0123456789/¼½¾⅛⅜⅝⅞"))]
	if !isDigits(whole) || !strings.ContainsAny(number, "/¼½¾⅛⅜⅝⅞") || !(t.value < 1) {
		return false
	}
	at := Span{first.span.Start, t.span.End}
	p.failAt(at, shortened(p.file.SpanText(at))+" can be read in two ways", fmt.Sprintf(
		"write %s %s for the mixed number, or %s for the sum", shortened(whole), shortened(rest), shortened(whole+" - "+rest)))
	return true
}

func isDigits(text string) bool { return text != "" && strings.Trim(text, "0123456789") == "" }
