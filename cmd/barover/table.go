package main

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"barover/sketch"
	"barover/solver"
	"barover/solver/machine"
)

func newTable(c *console) *cobra.Command {
	var v valueFlags
	var at string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "table FILE",
		Short: "Every measure at every position, as CSV",
		Long: `table prints a row for each position of the turn at each travel setting, and in it the turn, each travel and each
measure of the sketch with every digit. Where the parts cannot be assembled the measures are left empty, and
the status is 1. A measure without a value somewhere is left empty there, and is told of on standard error.`,
		Args:              oneFile,
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			e, err := c.open(args[0], &v)
			if err != nil {
				return err
			}
			turns := e.machine.Turns()
			if cmd.Flags().Changed("at") {
				if turns, err = turnsAsked(e.Problem.Turn, at); err != nil {
					return err
				}
			}
			w := bufio.NewWriter(c.out)
			t := newTableWriter(e, w, asJSON)
			broken, err := e.machine.Table(cmd.Context(), turns, t.row)
			if messages, err := inMessages(e.Sketch, err); err != nil || len(messages) > 0 {
				return c.tell(messages, err)
			}
			if err := t.end(); err != nil {
				return err
			}
			if err := w.Flush(); err != nil {
				return err
			}
			if err := c.tellEmpty(cmd.Context(), e); err != nil {
				return err
			}
			return endWith(statusOf(broken))
		},
	}
	v.add(cmd)
	cmd.Flags().StringVar(&at, "at", "", "only at these `positions` of the turn, degrees: 0,62.5,90")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the rows as JSON, an object each")
	return cmd
}

// turnsAsked reads the positions that --at gives, degrees, and returns them in rad.
func turnsAsked(t solver.Turn, list string) ([]float64, error) {
	if t.Stmt < 0 {
		return nil, errors.New("--at: the sketch has no turn line: it stands in one position")
	}
	var out []float64
	for _, word := range strings.Split(list, ",") {
		d, err := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(word), "°"), 64)
		if err != nil || math.IsNaN(d) || math.IsInf(d, 0) {
			return nil, fmt.Errorf("--at: %q is no position of the turn; write degrees, such as --at 0,62.5,90", strings.TrimSpace(word))
		}
		rad := d * (math.Pi / 180)
		const slack = 1e-9
		if rad < t.From-slack || rad > t.To+slack {
			return nil, fmt.Errorf("--at %s: %s goes from %s to %s", strings.TrimSpace(word), t.Name,
				figure(degrees(t.From)).full(), figure(degrees(t.To)).full())
		}
		out = append(out, math.Min(math.Max(rad, t.From), t.To))
	}
	return out, nil
}

// tableWriter writes rows in the sketch's unit.
type tableWriter struct {
	u     sketch.Units
	w     io.Writer
	csv   *csv.Writer // nil for JSON
	names []string
	kinds []sketch.Kind
	turns bool // the sketch has a turn, and a table its column
	rows  int
	cells []string
}

func newTableWriter(e *engine, w io.Writer, asJSON bool) *tableWriter {
	t := &tableWriter{u: e.Units, w: w, turns: e.Problem.Turn.Stmt >= 0}
	if t.turns {
		t.column(e.Problem.Turn.Name, sketch.Angle)
	}
	for i := range e.Problem.Travels {
		t.column(e.Problem.Travels[i].Name, kindOf(e.Problem.Travels[i].Angle, e.Problem.Travels[i].Number))
	}
	for i := range e.Problem.Measures {
		m := &e.Problem.Measures[i]
		t.column(m.Name, kindOf(m.Angle, m.Number))
	}
	if !asJSON {
		t.csv = csv.NewWriter(w)
	}
	return t
}

func (t *tableWriter) column(name string, k sketch.Kind) {
	t.names, t.kinds = append(t.names, name), append(t.kinds, k)
}

// row writes one row.
func (t *tableWriter) row(r *machine.Row) error {
	figures := append(slices.Clone(r.At.Travel), r.Measures...)
	if t.turns {
		figures = slices.Insert(figures, 0, r.At.Turn)
	}
	t.rows++
	if t.csv == nil {
		return t.object(figures)
	}
	if t.rows == 1 {
		if err := t.csv.Write(t.names); err != nil {
			return err
		}
	}
	t.cells = t.cells[:0]
	for i, v := range figures {
		t.cells = append(t.cells, out(t.u, v, t.kinds[i]).full())
	}
	return t.csv.Write(t.cells)
}

// object writes one row as an object, each on a line of its own within a list.
func (t *tableWriter) object(figures []float64) error {
	n := make(namedFigures, len(figures))
	for i, v := range figures {
		n[i] = named{name: t.names[i], value: out(t.u, v, t.kinds[i])}
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

// end writes what is still in hand.
func (t *tableWriter) end() error {
	if t.csv == nil {
		_, err := io.WriteString(t.w, "]\n")
		return err
	}
	t.csv.Flush()
	return t.csv.Error()
}
