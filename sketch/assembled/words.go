package assembled

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"
)

// Digest is a short digest of everything that a drawing is made from: the sketch, the files that it uses, and the values
// that count. The same sketch with the same values has the same digest, wherever the file is.
func (e *Engine) Digest() string {
	h := sha256.New()
	for _, f := range e.Files {
		fmt.Fprintf(h, "%d\n%s", len(f.Text), f.Text)
	}
	for _, d := range e.Dims {
		fmt.Fprintf(h, "%s %x\n", d.Name, math.Float64bits(d.Value))
	}
	return hex.EncodeToString(h.Sum(nil)[:4])
}

// StatementLine is the line of a statement, with its file where that is not the sketch itself.
func (e *Engine) StatementLine(stmt int) string {
	file, line, _ := e.Place(stmt)
	if file == e.Path {
		return strconv.Itoa(line)
	}
	return filepath.Base(file) + " " + strconv.Itoa(line)
}

// Asks is what a check asks, in the sketch's own words, without its note.
func (e *Engine) Asks(check int) string {
	c := &e.Problem.Checks[check]
	file, s := e.Statement(c.Stmt)
	if s == nil {
		return ""
	}
	words := onOneLine(file.SpanText(s.Where()))
	return strings.TrimSpace(strings.TrimSuffix(words, `"`+onOneLine(c.Note)+`"`))
}

// onOneLine is a text with every run of blanks and line ends as one blank.
func onOneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
