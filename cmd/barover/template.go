package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"barover/cmd/barover/replace"
	"barover/render/dxf"
	"barover/render/pdf"
	"barover/render/report"
	"barover/render/report/coordinates"
	"barover/render/svg"
	"barover/render/template"
	"barover/render/terminal"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver/engine"
)

func newTemplate(c *console) *cobra.Command {
	var v valueFlags
	var t templateFlags
	cmd := &cobra.Command{
		Use:   "template FILE PART",
		Short: "One part's outlines and holes at true size",
		Long: `template draws one part (or frame), or one profile of it (frame.bars), at true size. Each profile's outlines have
their own kind of line. Every hole has its diameter, every centre is crossed and numbered, and each sheet has check lengths
of 100 mm and 4 in both ways. template prints where each hole and centre lies, from the part's leftmost and its lowest edge.

    .pdf  as many sheets as it takes, to be joined mark on mark; print at 100 %,
          not fitted to the page
    .svg  one drawing of full size
    .dxf  for a cutting firm: layers OUTLINE and HOLES (of each profile, where
          there are several), CENTRES, NOTES

Without -o it leaves FILE-PART.pdf and FILE-PART.dxf beside the sketch.`,
		Args:              wants(2, 2, "one FILE and one PART"),
		ValidArgsFunction: completePart,
		RunE: func(cmd *cobra.Command, args []string) error {
			outs, err := t.outputs(args[0], args[1])
			if err != nil {
				return err
			}
			e, err := v.open(args[0])
			if err != nil {
				return err
			}
			return c.template(cmd.Context(), e, args[1], outs, &t)
		},
	}
	v.add(cmd)
	t.add(cmd)
	return cmd
}

// templateFlags say what is drawn, and to which files.
type templateFlags struct {
	out    []string
	unit   string
	paper  paperFlag
	asJSON bool
}

func (t *templateFlags) add(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringArrayVarP(&t.out, "out", "o", nil, "write to this `file`, by its ending .pdf, .svg or .dxf; may be said again")
	t.paper.add(cmd)
	f.StringVar(&t.unit, "unit", "", "`unit` of the .dxf and of all figures, mm or in; the sketch's if left out")
	f.BoolVar(&t.asJSON, "json", false, "print the list of holes and centres as one JSON object, with every digit")
	offer(cmd, "out", cobra.ShellCompDirectiveFilterFileExt, always(templateEndings...))
	offer(cmd, "unit", cobra.ShellCompDirectiveNoFileComp, always("mm", "in"))
}

// templateEndings are those of the files that can be written.
var templateEndings = []string{"pdf", "svg", "dxf"}

// endingOf is the kind of a file, by its name.
func endingOf(path string) string {
	return strings.ToLower(strings.TrimPrefix(filepath.Ext(path), "."))
}

// outputs are the files to write for a part of a sketch. It also checks the flags.
func (t *templateFlags) outputs(path, part string) ([]string, error) {
	if t.unit != "" && t.unit != "mm" && t.unit != "in" {
		return nil, errors.New("--unit takes mm or in")
	}
	if len(t.out) == 0 {
		stem := strings.TrimSuffix(path, ".motion") + "-" + part
		return []string{stem + ".pdf", stem + ".dxf"}, nil
	}
	for _, o := range t.out {
		if !slices.Contains(templateEndings, endingOf(o)) {
			return nil, fmt.Errorf("-o %s: a template's name ends in .pdf, .svg or .dxf", o)
		}
	}
	return t.out, distinct(t.out)
}

// template makes the template of a part and prints its list. All files are made before the first is put in its place.
func (c *console) template(ctx context.Context, e *assembled.Engine, name string, outs []string, t *templateFlags) error {
	if err := spareAll(outs, e.Sketch); err != nil {
		return err
	}
	number, only, err := partNamed(e, name)
	if err != nil {
		return err
	}
	part, err := template.New(e.Machine, number, only)
	if err != nil {
		return fmt.Errorf("%s: %s: %w", e.Path, name, err)
	}
	units := e.Units
	if t.unit != "" {
		units = quantity.Units{Inches: t.unit == "in"}
	}
	o := templateOptions(e, part, t, units)
	made := make([][]byte, len(outs))
	sheets := 0
	for i, out := range outs {
		if made[i], sheets, err = encodeTemplate(part, o, endingOf(out), units, sheets); err != nil {
			return fmt.Errorf("%s: %s: %w", e.Path, name, err)
		}
	}
	broken, err := e.Machine.Table(ctx, nil, func(*engine.Row) error { return nil })
	if err != nil {
		return assembled.InMessages(e.Sketch, err)
	}
	for i, out := range outs {
		if err := replace.File(ctx, out, made[i]); err != nil {
			return err
		}
	}
	c.wrote(outs)
	r := coordinates.New(e, part, units, o.Paper, sheets)
	if t.asJSON {
		err = c.printJSON(r, report.AllHolds)
	} else {
		err = c.print(r.Text(), report.AllHolds)
	}
	if err != nil {
		return err
	}
	for _, open := range e.OpenSlots() {
		if err := syntax.Print(c.err, []syntax.Message{open.Message}); err != nil {
			return err
		}
	}
	if err := c.warn(ctx, e); err != nil {
		return err
	}
	if len(broken) > 0 {
		fmt.Fprintf(c.err, "%s: it cannot be assembled over part of the turn: barover check tells where\n", e.Path)
	}
	return endWith(report.StatusOf(len(broken) == 0))
}

// partNamed finds a part by its name, or by the name of one of its profiles; then only that profile is meant.
func partNamed(e *assembled.Engine, name string) (part int, only string, err error) {
	var names []string
	for i := range e.Problem.Linkage.Parts {
		if names = append(names, e.Problem.Linkage.Parts[i].Name); names[i] == name {
			return i, "", nil
		}
	}
	parts := len(names)
	for _, p := range e.Problem.Profiles {
		if names = append(names, p.Name); p.Name == name {
			return p.Part, p.Name, nil
		}
	}
	return 0, "", fmt.Errorf("%s: %w", e.Path, noSuch("part", name, names, "there are "+strings.Join(names[:parts], ", ")))
}

// templateOptions are what the sheets of a template say, in these units.
func templateOptions(e *assembled.Engine, p *template.Part, t *templateFlags, u quantity.Units) template.Options {
	in := &assembled.Engine{Sketch: e.Sketch}
	if u != e.Units {
		other := *e.Sketch
		other.Units = u
		in.Sketch = &other
	}
	o := template.Options{Sheet: report.SheetOptions(in, nil, report.Look{Paper: t.paper.Paper}), Paper: cmp.Or(t.paper.Size, e.Paper.Size, "A4")}
	o.Sheet.Oriented = t.paper.Oriented // the sketch orients the engine, not the part
	o.Sheet.Words.Size = coordinates.SizeIn(u)
	o.Sheet.Title = p.Name
	if e.Title != "" {
		o.Sheet.Title += ", " + e.Title
	}
	return o
}

// encodeTemplate makes a file of a part. It returns the number of its sheets, or the number given where the file has
// none.
func encodeTemplate(p *template.Part, o template.Options, as string, u quantity.Units, sheets int) ([]byte, int, error) {
	switch as {
	case "dxf":
		return dxf.Bytes(p.File(o, u.Inches)), sheets, nil
	case "svg":
		d, err := p.Whole(o)
		if err != nil {
			return nil, 0, err
		}
		return svg.Bytes(d), sheets, nil
	}
	pages, err := p.Pages(o)
	if err != nil {
		return nil, 0, err
	}
	return pdf.Bytes(pages...), len(pages), nil
}

// completePart offers the sketches of the folder, and then the parts of the one that was named.
func completePart(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	switch len(args) {
	case 0:
		return completeSketch(nil, nil, "")
	case 1:
		return partsOf(args), cobra.ShellCompDirectiveNoFileComp
	}
	return nil, cobra.ShellCompDirectiveNoFileComp
}

// partsOf lists the parts of the last sketch in args, and the fixed pieces of its frame.
func partsOf(args []string) (names []string) {
	if len(args) == 0 {
		return nil
	}
	names = []string{"frame\tthe fixed part"}
	eachStatement(args[len(args)-1:], func(f *syntax.File, s syntax.Statement) {
		if p, ok := s.(*syntax.Part); ok {
			names = append(names, p.Name.Text+"\t"+terminal.OneLine(f.SpanText(p.Span)))
		}
		if p, ok := s.(*syntax.Profile); ok && p.Part.Text == "frame" {
			names = append(names, "frame."+p.Name.Text+"\tone fixed piece")
		}
	})
	return names
}
