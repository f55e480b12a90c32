package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"barover/solver"
)

func newDraw(c *console) *cobra.Command {
	var v valueFlags
	var d drawFlags
	cmd := &cobra.Command{
		Use:   "draw FILE",
		Short: "The engine in all its positions, as SVG, PDF or PNG",
		Long: `draw makes the sweep overlay: the engine drawn thick at one position and thin at others, what its parts sweep over,
each foul and the least clearance of each check. Without -o it leaves FILE.svg and FILE.pdf beside the sketch.

It ends with status 1 if the engine cannot be assembled over part of the turn; whether the checks hold is told
by check.`,
		Args:              oneFile,
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			outs, err := d.outputs(args[0])
			if err != nil {
				return err
			}
			e, err := c.open(args[0], &v)
			if err != nil {
				return err
			}
			res, err := c.answer(cmd.Context(), e, solver.NoLevers)
			if err != nil {
				return err
			}
			sheets, err := drawPages(cmd.Context(), e, res, d)
			if err != nil {
				return err
			}
			for _, n := range sheets.notes {
				fmt.Fprintf(c.err, "%s: %s\n", e.Path, n)
			}
			if err := writePages(sheets.pages, outs, d.page); err != nil {
				return err
			}
			return endWith(statusOf(res.Broken))
		},
	}
	v.add(cmd)
	d.add(cmd)
	return cmd
}

// drawFlags say what is drawn and where to.
type drawFlags struct {
	out  []string
	at   string
	page int
}

func (d *drawFlags) add(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringArrayVarP(&d.out, "out", "o", nil, "write to this `file`, by its ending .svg, .pdf or .png; may be said again")
	f.StringVar(&d.at, "at", "", "the `position` of the turn that is drawn thick, degrees; the tightest place if left out")
	f.IntVar(&d.page, "page", 1, "which page an .svg or .png shows; a .pdf has them all")
	cobra.CheckErr(cmd.RegisterFlagCompletionFunc("out", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return endings, cobra.ShellCompDirectiveFilterFileExt
	}))
}

// endings are those of the drawings that can be written.
var endings = []string{"svg", "pdf", "png"}

// outputs are the files to write for a sketch.
func (d *drawFlags) outputs(path string) ([]string, error) {
	if len(d.out) == 0 {
		stem := strings.TrimSuffix(path, ".motion")
		return []string{stem + ".svg", stem + ".pdf"}, nil
	}
	seen := map[string]bool{}
	for _, o := range d.out {
		if drawnAs(o) == "" {
			return nil, fmt.Errorf("-o %s: a drawing's name ends in .svg, .pdf or .png", o)
		}
		if seen[filepath.Clean(o)] {
			return nil, errors.New("-o " + o + " is said twice")
		}
		seen[filepath.Clean(o)] = true
	}
	return d.out, nil
}
