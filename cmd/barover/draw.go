package main

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"barover/cmd/barover/replace"
	"barover/cmd/barover/serve"
	"barover/render/dxf"
	"barover/render/report"
	"barover/render/sheet"
	"barover/sketch/assembled"
	"barover/solver"
	"barover/solver/machine"
)

func newDraw(c *console) *cobra.Command {
	var v valueFlags
	var d drawFlags
	cmd := &cobra.Command{
		Use:   "draw FILE",
		Short: "The engine in all its positions, as SVG, PDF or PNG",
		Long: `draw makes the sweep overlay: the engine drawn thick at one position and thin at others, what its parts sweep over,
each foul, and the least clearance of each check. Further pages have the tightest places, the widths across the engine,
and one page for each chart line of the sketch. Without -o it leaves FILE.svg and FILE.pdf beside the sketch.

An .html is the page of show as one file, which opens from a disk and needs nothing else. It has the engine to turn by
hand, at every setting of the lists and every step of the ranges, and the answers. A .dxf has the position that is drawn
thick, at true size, one layer for each part.

It ends with status 1 if the engine cannot be assembled over part of the turn. check says whether the checks hold.`,
		Args:              oneFile,
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			outs, err := d.outputs(args[0])
			if err != nil {
				return err
			}
			e, err := v.open(args[0])
			if err != nil {
				return err
			}
			if err := cmp.Or(spareAll(outs, e.Sketch), report.KnownPick(d.pick.Pick, e)); err != nil {
				return err
			}
			res, err := c.answer(cmd.Context(), e, machine.Options{Checks: true, Levers: d.levers(outs)})
			if err != nil {
				return err
			}
			screens, cad, sheets := parted(outs)
			if len(sheets)+len(cad) > 0 {
				if err := c.drawSheets(cmd.Context(), e, res, d, sheets, cad); err != nil {
					return err
				}
			}
			if err := serve.WritePages(cmd.Context(), e, res, d.pick.Pick, screens); err != nil {
				return err
			}
			c.wrote(outs)
			return endWith(report.StatusOf(len(res.Broken) == 0))
		},
	}
	v.add(cmd)
	d.screens = true
	d.add(cmd)
	return cmd
}

// levers are wanted where a sheet or a page is written that says what mends a check: any except the overlay.
func (d *drawFlags) levers(outs []string) machine.LeverWish {
	if d.page != "1" || slices.ContainsFunc(outs, func(o string) bool { return slices.Contains([]string{"pdf", "html"}, drawnAs(o)) }) {
		return machine.ShortLevers
	}
	return machine.NoLevers
}

// parted separates pages for a browser, files at true size for other programs, and sheets.
func parted(outs []string) (screens, cad, sheets []string) {
	for _, o := range outs {
		switch drawnAs(o) {
		case "html":
			screens = append(screens, o)
		case "dxf":
			cad = append(cad, o)
		default:
			sheets = append(sheets, o)
		}
	}
	return screens, cad, sheets
}

// drawSheets lays out the sheets of an engine and writes those that are asked for.
func (c *console) drawSheets(ctx context.Context, e *assembled.Engine, res *solver.Result, d drawFlags, outs, cad []string) error {
	book, page, err := d.sheets(ctx, e, res)
	if err != nil {
		return err
	}
	if n := book.Note(); n != "" {
		fmt.Fprintf(c.err, "%s: %s\n", e.Path, n)
	}
	if len(cad) > 0 {
		f, ok := book.File(e.Units.Inches)
		if !ok {
			return fmt.Errorf("%s: it cannot be assembled at the position drawn, so there is nothing for %s; choose another with --at V", e.Path, cad[0])
		}
		for _, o := range cad {
			if err := replace.File(ctx, o, dxf.Bytes(f)); err != nil {
				return err
			}
		}
	}
	return writePages(ctx, book, outs, page)
}

// drawFlags say what is drawn, and to which files.
type drawFlags struct {
	out     []string
	at      string
	page    string
	label   string
	paper   paperFlag
	pick    pickFlags
	screens bool // files that are no sheets may be asked for
}

// sheets lays out all the sheets of an engine, and finds the one that is asked for.
func (d *drawFlags) sheets(ctx context.Context, e *assembled.Engine, res *solver.Result) (*sheet.Book, int, error) {
	look, err := d.look(e)
	if err != nil {
		return nil, 0, err
	}
	book, err := report.Book(ctx, e, res, look)
	if err != nil {
		return nil, 0, err
	}
	page, err := d.pageOf(book)
	return book, page, err
}

// look is how the engines are drawn.
func (d *drawFlags) look(engines ...*assembled.Engine) (report.Look, error) {
	return report.Look{At: d.at, Paper: d.paper.Paper, Pick: d.pick.Pick, LabelAll: d.label == "all"}, report.KnownPick(d.pick.Pick, engines...)
}

// pageOf is the page that is asked for, counted from zero.
func (d *drawFlags) pageOf(b *sheet.Book) (int, error) {
	charts := b.Charts()
	if i, ok := charts[d.page]; ok {
		return i, nil
	}
	n, err := strconv.Atoi(d.page)
	if err != nil {
		names := slices.Sorted(maps.Keys(charts))
		return 0, fmt.Errorf("--page: %w", noSuch("chart", d.page, names, "write a number, or the name of a chart"))
	}
	if n < 1 || n > b.Len() {
		return 0, fmt.Errorf("--page %d: write a page from 1 to %d", n, b.Len())
	}
	return n - 1, nil
}

func (d *drawFlags) add(cmd *cobra.Command) {
	d.addPlaces(cmd, "the `position` of the turn that is drawn thick, degrees; the tightest place if left out",
		"which `page` an .svg or .png shows, by its number or the name of a chart; a .pdf has them all")
}

// addPlaces adds the flags with what two of them mean for a verb.
func (d *drawFlags) addPlaces(cmd *cobra.Command, at, page string) {
	f := cmd.Flags()
	d.addOut(cmd)
	f.StringVar(&d.at, "at", "", at)
	f.StringVar(&d.page, "page", "1", page)
	f.StringVar(&d.label, "label", "", "\"all\" labels every clearance that there is room for, not only those near trouble")
	d.paper.add(cmd)
	d.pick.add(cmd)
}

// addOut adds the flag for the files to write.
func (d *drawFlags) addOut(cmd *cobra.Command) {
	cmd.Flags().StringArrayVarP(&d.out, "out", "o", nil, "write to this `file`, by its ending "+endingsInWords(d.endings())+"; may be said again")
	offer(cmd, "out", cobra.ShellCompDirectiveFilterFileExt, func([]string) []string { return d.endings() })
}

// endings are those of the drawings that can be written. After the sheets come a page for a browser and outlines at true
// size, which only draw writes.
var endings = []string{"svg", "pdf", "png", "html", "dxf"}

// sheetEndings is the number of them that are sheets.
const sheetEndings = 3

// endings are those that may be asked for.
func (d *drawFlags) endings() []string {
	if d.screens {
		return endings
	}
	return endings[:sheetEndings]
}

// endingsInWords lists endings: ".svg, .pdf or .png".
func endingsInWords(list []string) string {
	return "." + strings.Join(list[:len(list)-1], ", .") + " or ." + list[len(list)-1]
}

// outputs are the files to write for a sketch.
func (d *drawFlags) outputs(path string) ([]string, error) {
	if d.label != "" && d.label != "all" {
		return nil, fmt.Errorf("--label %s: it takes only \"all\"", d.label)
	}
	if len(d.out) == 0 {
		stem := strings.TrimSuffix(path, ".motion")
		return []string{stem + ".svg", stem + ".pdf"}, nil
	}
	for _, o := range d.out {
		if !slices.Contains(d.endings(), drawnAs(o)) {
			return nil, fmt.Errorf("-o %s: a drawing's name ends in %s", o, endingsInWords(d.endings()))
		}
	}
	return d.out, distinct(d.out)
}
