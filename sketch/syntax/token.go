package syntax

// kind is the kind of a token.
type kind uint8

const (
	endToken kind = iota // the end of the statement
	nameToken
	numberToken
	textToken
	signToken      // one of + - * / ^ ( ) , = : .
	plusMinusToken // ± or +/-
	badToken       // nothing that is allowed in a sketch
)

// token is one word, number, text or sign of a sketch.
type token struct {
	kind  kind
	sign  byte // of a signToken
	unit  Unit // of a numberToken
	first bool // the first on its line
	value float64
	fault *fault // of a badToken
	span  Span
}

// fault is what is wrong with a badToken. The zero fault was reported already.
type fault struct{ text, help string }

// touches says whether there is nothing between two tokens.
func (t token) touches(next token) bool { return t.span.End == next.span.Start }

// isSign says whether the token is this sign.
func (t token) isSign(sign byte) bool { return t.kind == signToken && t.sign == sign }
