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
	if !isDigits(whole) || !belowOne(rest, t.value) {
		return false
	}
	at := Span{first.span.Start, t.span.End}
	p.failAt(at, shortened(p.file.SpanText(at))+" can be read in two ways", fmt.Sprintf(
		"write %s %s for the mixed number, or %s for the difference", shortened(whole), shortened(rest), shortened(whole+" - "+rest)))
	return true
}

// belowOne reports whether a number is written as a fraction and less than 1, as behind a whole number in a mixed one.
func belowOne(text string, value float64) bool {
	number := text[:len(text)-len(strings.TrimLeft(text, "0123456789/¼½¾⅛⅜⅝⅞"))]
	return strings.ContainsAny(number, "/¼½¾⅛⅜⅝⅞") && value < 1
}

// SpacedSigns warns of differences like 4 -1/2, where the blanks look like those of a mixed number.
func SpacedSigns(f *File) (list []Message) {
	none := func(Named, *Name) {}
	to := Visitor{Given: none, Used: none, Qualified: func(*Qualified) {}, Sum: func(x Expr) {
		eachDifference(x, func(b *Binary) {
			y, ok := b.Y.(*Number)
			before := f.Text[:b.At.Start]
			left := strings.TrimRight(before, " \t")
			whole := left[len(strings.TrimRight(left, "0123456789")):]
			lead := left[:len(left)-len(whole)]
			if !ok || left == before || b.At.End != y.Span.Start || whole == "" || !belowOne(f.SpanText(y.Span), y.Value) ||
				lead != "" && strings.Trim(lead[len(lead)-1:], " \t(,=+-*") != "" {
				return
			}
			at, rest := Span{b.At.Start - int32(len(before)-len(lead)), y.Span.End}, shortened(f.SpanText(y.Span))
			list = append(list, Message{File: f, Span: at, Text: "warning: " + SpanText(f, at) + " is read as the difference " + shortened(whole) + " - " + rest,
				Help: fmt.Sprintf("write %s %s for the mixed number, or %s - %s for the difference", shortened(whole), rest, shortened(whole), rest)})
		})
	}}
	for _, s := range f.Statements {
		Walk(s, to)
	}
	return list
}

// eachDifference visits the differences of a sum.
func eachDifference(x Expr, visit func(*Binary)) {
	switch x := x.(type) {
	case *Unary:
		eachDifference(x.X, visit)
	case *Binary:
		eachDifference(x.X, visit)
		eachDifference(x.Y, visit)
		if x.Op == '-' {
			visit(x)
		}
	case *Call:
		for _, arg := range x.Args {
			eachDifference(arg, visit)
		}
	}
}

func isDigits(text string) bool { return text != "" && strings.Trim(text, "0123456789") == "" }
