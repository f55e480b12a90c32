package main

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"barover/sketch"
	"barover/sketch/syntax"
	"barover/solver/machine"
	"barover/solver/seek"
)

// seekFlags are the flags of seek beside those that every verb has.
type seekFlags struct {
	valueFlags
	from, to, check string
	json            bool
}

func newSeek(c *console) *cobra.Command {
	var f seekFlags
	cmd := &cobra.Command{
		Use:   "seek FILE DIM",
		Short: "The values of one dimension with which everything holds",
		Long: `seek finds every range of values of one dimension with which all checks hold, and which check stops it at either
end. Other dimensions stay as they are, but for those that follow from this one.

Without --from and --to it looks over half the value either way, or a twentieth of the engine if that is more (30
degrees of an angle), on the same side of nought. The ends are settled to a millionth and proved
where a study can prove; between the values looked at nothing is proved.

It ends with status 0 if everything holds with the dimension as it is, 1 if something falls short.`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 2 {
				return nil
			}
			return fmt.Errorf("seek takes a FILE and a DIM: barover %s", cmd.Use)
		},
		ValidArgsFunction: completeSeek,
		RunE: func(cmd *cobra.Command, args []string) error {
			r, err := c.seek(cmd.Context(), args[0], args[1], &f)
			if err != nil {
				return err
			}
			return c.show(r, f.json)
		},
	}
	f.add(cmd)
	cmd.Flags().StringVar(&f.from, "from", "", "the least `value` to look at, a sum as the sketch has it")
	cmd.Flags().StringVar(&f.to, "to", "", "the greatest `value` to look at")
	cmd.Flags().StringVar(&f.check, "for", "", "look at this `check` alone: its note, \"clear conrod frame\", \"keep over_run\", \"line 40\"; at all of them where it stands for several pairs")
	cmd.Flags().BoolVar(&f.json, "json", false, "print the ranges as one JSON object, with every digit")
	cobra.CheckErr(cmd.RegisterFlagCompletionFunc("for", func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		return checksOf(args), cobra.ShellCompDirectiveNoFileComp
	}))
	return cmd
}

// completeSeek offers sketches, then the dimensions of the one that was named.
func completeSeek(cmd *cobra.Command, args []string, word string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 {
		return completeSketch(cmd, args, word)
	}
	var names []string
	for _, d := range dimsOf(args[:1]) {
		names = append(names, strings.Replace(d, "=\t", "\t", 1))
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}

// seek reads the sketch and looks for the ranges.
func (c *console) seek(ctx context.Context, path, dim string, f *seekFlags) (*seekReport, error) {
	e, err := c.open(path, &f.valueFlags)
	if err != nil {
		return nil, err
	}
	d, n, ok := e.Dim(dim)
	if !ok {
		return nil, fmt.Errorf("%s has no dimension %s%s", path, dim, nearestDim(e.Sketch, dim))
	}
	q := seek.Query{Problem: e.Problem, Vary: vary(e.Sketch), Dim: n, Now: d.Value}
	q.From, q.To = seek.Limits(seekKind(d.Kind), d.Value, e.machine.Size())
	if err := f.limits(e, d, &q); err != nil {
		return nil, err
	}
	if f.check != "" {
		if q.Checks, err = checksMeant(e, f.check); err != nil {
			return nil, err
		}
	}
	p := c.newProgress(filepath.Base(e.Path))
	a, err := seek.Seek(ctx, q, machine.Options{Progress: p.step})
	p.end()
	if err != nil {
		messages, err := inAnyMessages(e.Sketch, err)
		return nil, c.tell(messages, err)
	}
	r := newSeekReport(e, d, f, &q, a)
	if err := r.findMoved(ctx, q, a); err != nil {
		return nil, err
	}
	return r, r.findHopeless(ctx, q, a)
}

// findMoved looks for the ranges with which the checks hold that the dimension moves, where others fall short whatever its value.
func (r *seekReport) findMoved(ctx context.Context, q seek.Query, a *seek.Answer) error {
	if len(a.Never) == 0 || a.Idle {
		return nil
	}
	asked := q.Checks
	if asked == nil {
		for i := range q.Problem.Checks {
			asked = append(asked, i)
		}
	}
	q.Checks = slices.DeleteFunc(slices.Clone(asked), func(i int) bool { return slices.Contains(a.Never, i) })
	some, err := seek.Seek(ctx, q, machine.Options{})
	if err != nil {
		return err
	}
	r.Moved = reporter{r.e, r.e.Units}.seekRanges(r.d, some.Ranges)
	return nil
}

// mostAlone bounds how many checks are sought for alone where no value was found for all of them.
const mostAlone = 4

// findHopeless names the first check for which alone no value was found either, where there is none for all of them.
func (r *seekReport) findHopeless(ctx context.Context, q seek.Query, a *seek.Answer) error {
	if len(a.Ranges) > 0 || len(a.Never) > 0 || r.asked == 1 {
		return nil
	}
	for _, i := range a.Short[:min(len(a.Short), mostAlone)] {
		q.Checks = []int{i}
		one, err := seek.Seek(ctx, q, machine.Options{})
		if err != nil {
			return err
		}
		if len(one.Ranges) == 0 {
			n := reporter{r.e, r.e.Units}.name(i)
			r.hopeless = &n
			return nil
		}
	}
	return nil
}

func seekKind(k sketch.Kind) seek.Kind {
	switch {
	case k.Is(sketch.Length):
		return seek.Length
	case k.Is(sketch.Angle):
		return seek.Angle
	}
	return seek.Number
}

// limits puts the values of --from and --to in the place of the usual ones.
func (f *seekFlags) limits(e *engine, d *sketch.Dim, q *seek.Query) error {
	for _, end := range []struct {
		flag, word string
		to         *float64
	}{{"from", f.from, &q.From}, {"to", f.to, &q.To}} {
		if end.word == "" {
			continue
		}
		v, err := f.value(e, d, end.word)
		if err != nil {
			return fmt.Errorf("--%s %s: %w", end.flag, end.word, err)
		}
		*end.to = v
	}
	if !(q.From < q.To) {
		return fmt.Errorf("there is nothing from %s to %s: give the lesser value with --from, the greater with --to",
			e.Units.Value(q.From, d.Kind), e.Units.Value(q.To, d.Kind))
	}
	return nil
}

// value reads a value of a dimension as --set does.
func (f *seekFlags) value(e *engine, d *sketch.Dim, word string) (float64, error) {
	o, err := f.options()
	if err != nil {
		return 0, err
	}
	var others []string
	for _, s := range o.Set {
		if name, _, _ := strings.Cut(s, "="); strings.TrimSpace(name) != d.Name {
			others = append(others, s)
		}
	}
	o.Set = append(others, d.Name+"="+word)
	sk, messages := e.Again(o)
	if len(messages) > 0 {
		return 0, fmt.Errorf("%s", messages[0].Text)
	}
	set, _, _ := sk.Dim(d.Name)
	return set.Value, nil
}

// nearestDim offers the dimension that somebody may have meant.
func nearestDim(sk *sketch.Sketch, name string) string {
	for i := range sk.Dims {
		if strings.EqualFold(sk.Dims[i].Name, name) {
			return ": did you mean " + sk.Dims[i].Name + "?"
		}
	}
	for i := range sk.Dims {
		if n := sk.Dims[i].Name; len(name) > 2 && (strings.Contains(n, name) || strings.Contains(name, n)) {
			return ": did you mean " + n + "?"
		}
	}
	return ""
}

// checksMeant finds the checks that the words of a line stand for: its kind and what it is about, in either order, a part
// for all its profiles; or its number, its note, or what else it is called.
func checksMeant(e *engine, words string) ([]int, error) {
	fields := strings.Fields(words)
	var out []int
	w := reporter{e, e.Units}
	for i := range e.Problem.Checks {
		n := w.name(i)
		if n.meantBy(words) || len(fields) == 2 && fields[0] == "clear" && fields[1] == "all" && w.ofAll(i) {
			out = append(out, i)
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("--for %q: the sketch has no such check; write its note, the line as it stands there, such as --for \"clear conrod frame\", or --for \"line 40\"", words)
	}
	return out, nil
}

// ofAll reports whether a check is of a `clear all` line.
func (w reporter) ofAll(check int) bool {
	_, s := w.e.Statement(w.e.Problem.Checks[check].Stmt)
	k, ok := s.(*syntax.Clear)
	return ok && k.All
}

func (n checkName) meantBy(words string) bool {
	fields := strings.Fields(words)
	if oneLine(words) == n.Named || n.Note != "" && oneLine(words) == oneLine(n.Note) {
		return true
	}
	if len(fields) == 2 && fields[0] == "line" {
		return n.File == "" && fields[1] == fmt.Sprint(n.Line)
	}
	if len(fields) < 2 || fields[0] != n.Kind {
		return false
	}
	if n.Kind == "keep" {
		return strings.Join(fields[1:], "") == strings.Join(strings.Fields(n.A), "")
	}
	if len(fields) != 3 {
		return false
	}
	of := func(name, word string) bool { return name == word || strings.HasPrefix(name, word+".") }
	return of(n.A, fields[1]) && of(n.B, fields[2]) || of(n.A, fields[2]) && of(n.B, fields[1])
}
