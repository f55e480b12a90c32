package main

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"barover/render/report"
	"barover/render/terminal"
	"barover/solver/machine"
)

func newCheck(c *console) *cobra.Command {
	var v valueFlags
	var asJSON, asMarkdown, long, levers, across bool
	var wear string
	cmd := &cobra.Command{
		Use:   "check FILE",
		Short: "What holds and what does not, over the whole turn and every travel",
		Long: `check turns the engine of the sketch over. For each clear, gap, keep and loose line it says whether the line holds,
where it holds by least, and over which parts of the turn it does not. It says where each mark happens, and the least
and greatest of each measure. For what falls short it offers changes of one dimension that were proved to mend it, and
says what else such a change would break.

Beside what falls short it says what you would have seen by turning the engine by hand and looking at the quarters, with
the travels at rest. --long says it of every check.

What falls short comes first, fouls before all, then what holds by least, then the rest. Marks have one row for each
listed setting of the travels, with the ranges at rest and at their ends. --md prints the same as Markdown, --json every
digit of everything.

It ends with status 0 if everything holds, 1 if something falls short, binds or cannot be assembled over part
of the turn, and 2 if the sketch cannot be used.`,
		Args:              oneForm(&asJSON, &asMarkdown),
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			e, err := v.open(args[0])
			if err != nil {
				return err
			}
			if e.Wear, err = wearOf(e, wear); err != nil {
				return err
			}
			wish := machine.ShortLevers
			if levers {
				wish = machine.AllLevers
			}
			res, err := c.answer(cmd.Context(), e, machine.Options{Levers: wish})
			if err != nil {
				return err
			}
			r, err := report.Whole(cmd.Context(), e, res, report.Wish{Levers: levers, Long: long, Across: across})
			if err != nil {
				return err
			}
			switch {
			case asJSON:
				r.ListTried()
				return c.printJSON(r, r.Status())
			case asMarkdown:
				return c.print(r.Markdown(long), r.Status())
			}
			return c.print(r.Text(terminal.Ink(c.colour), long), r.Status())
		},
	}
	v.add(cmd)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the answers as one JSON object, with every digit")
	cmd.Flags().BoolVar(&asMarkdown, "md", false, "print the answers as Markdown tables, to keep beside the sketch")
	cmd.MarkFlagsMutuallyExclusive("json", "md")
	cmd.Flags().StringVar(&wear, "wear", "", "make every play larger by this `length`; where the sketch writes no play, every pin gets it")
	cmd.Flags().BoolVar(&long, "long", false, "show every check, marks at every travel setting, and every pair that was left out")
	cmd.Flags().BoolVar(&across, "across", false, "show the widths across the engine as well: every profile's band, and the gaps between neighbours that pass each other in the side view")
	cmd.Flags().BoolVar(&levers, "levers", false, "show every check and which dimensions move it, the strongest first: how much the check moves for one unit more of the dimension (mm per mm, in per in, mm per degree)")
	return cmd
}

// oneForm requires exactly one sketch, and not both --json and --md. It runs before cobra checks the flags, whose message would
// be in other words.
func oneForm(asJSON, asMarkdown *bool) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if *asJSON && *asMarkdown {
			return fmt.Errorf("--json and --md do not go together: give %s one of them", cmd.Name())
		}
		return oneFile(cmd, args)
	}
}

// oneFile asks for exactly one sketch.
func oneFile(cmd *cobra.Command, args []string) error {
	if len(args) == 1 {
		return nil
	}
	return fmt.Errorf("%s takes one FILE, not %d: barover %s", cmd.Name(), len(args), cmd.Use)
}

// someFiles asks for one sketch or more.
var someFiles = wants(1, math.MaxInt, "a FILE")

// wants asks for at least and at most so many words, and says what they are.
func wants(least, most int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) < least || len(args) > most {
			return fmt.Errorf("%s takes %s: barover %s", cmd.Name(), what, cmd.Use)
		}
		return nil
	}
}
