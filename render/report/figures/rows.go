package figures

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"

	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/solver/engine"
)

// Rows writes rows in the sketch's unit.
type Rows struct {
	u     quantity.Units
	w     io.Writer
	csv   *csv.Writer // nil for JSON
	names []string
	kinds []quantity.Kind
	turns bool // the sketch has a turn, and a table its column
	rows  int
	cells []string
}

func NewTableWriter(e *assembled.Engine, w io.Writer, asJSON bool) *Rows {
	t := &Rows{u: e.Units, w: w, turns: e.Problem.Turn.Stmt >= 0}
	if t.turns {
		t.column(e.Problem.Turn.Name, quantity.Angle)
	}
	for i := range e.Problem.Travels {
		t.column(e.Problem.Travels[i].Name, quantity.KindOf(e.Problem.Travels[i].Angle, e.Problem.Travels[i].Number))
	}
	for _, m := range e.Problem.Measures {
		t.column(m.Name, quantity.KindOf(m.Angle, m.Number))
	}
	if !asJSON {
		t.csv = csv.NewWriter(w)
	}
	return t
}

func (t *Rows) column(name string, k quantity.Kind) {
	t.names, t.kinds = append(t.names, name), append(t.kinds, k)
}

// Row writes one row.
func (t *Rows) Row(r *engine.Row) error {
	values := append(slices.Clone(r.At.Travel), r.Measures...)
	if t.turns {
		values = slices.Insert(values, 0, r.At.Turn)
	}
	t.rows++
	if t.csv == nil {
		return t.object(values)
	}
	if t.rows == 1 {
		if err := t.csv.Write(t.names); err != nil {
			return err
		}
	}
	t.cells = t.cells[:0]
	for i, v := range values {
		t.cells = append(t.cells, Of(t.u, v, t.kinds[i]).Full())
	}
	return t.csv.Write(t.cells)
}

// object writes one row as an object, each on a line of its own within a list.
func (t *Rows) object(values []float64) error {
	n := make(List, len(values))
	for i, v := range values {
		n[i] = Named{Name: t.names[i], Value: Of(t.u, v, t.kinds[i])}
	}
	b, err := n.MarshalJSON()
	if err != nil {
		return err
	}
	between := ",\n "
	if t.rows == 1 {
		between = "["
	}
	_, err = fmt.Fprintf(t.w, "%s%s", between, b)
	return err
}

// End writes what is still in hand.
func (t *Rows) End() error {
	if t.csv == nil {
		_, err := io.WriteString(t.w, "]\n")
		return err
	}
	t.csv.Flush()
	return t.csv.Error()
}
