package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"barover/render/report/figures"
	"barover/render/report/variants"
	"barover/sketch/assembled"
	"barover/solver/spread"
)

// spreadFlags are the flags of spread beside those that every verb has.
type spreadFlags struct {
	valueFlags
	samples int
	seed    uint64
	law     string
	inflate float64
	levers  bool
	json    bool
	draw    drawFlags
}

func newSpread(c *console) *cobra.Command {
	var f spreadFlags
	cmd := &cobra.Command{
		Use:   "spread FILE",
		Short: "The tolerances carried through to every check",
		Long: `spread carries the tolerances of the sketch (±, tol, fit, and the ± of what was measured) through to every check.
It gives four figures: the worst engine found; a proved bound that no engine within the tolerances passes; the root sum
square, which is as unlikely as one part at its limit; and the share of engines drawn at random in which the check falls
short. The proof tells that of most of them; those that it leaves in doubt are solved, 5000 at most.

The proof covers all sizes between the limits and all positions at once. The engine that the bound comes nearest to is
solved as any other and named. What cannot be proved has a dash, and the reason. Then the worst is sought with every part
at the limit that its slopes point to, by trial where the slopes leave doubt, and onward from any worse engine that was
drawn.

Sizes are drawn by the normal law, with the limits at three standard deviations and none beyond them. With --law even,
every size between the limits is as likely. The same seed draws the same engines. A check that is proved to hold in every
engine needs no drawing. One that the proof does not tell of, and that keeps more than half of its room in the worst found,
is tried on the first 100.

Where something may fall short, spread says which tolerance to close, and how far, for all engines to hold. --levers names
more of them, or, where all holds, those that may be opened. Each was proved again.

-o takes the tightest check and draws its worst engine over the engine as it stands. Further pages have what is worse
enlarged, beside its clearance over the turn in both, in a band from the worst of all engines to the best.

It ends with status 0 if everything holds in the worst found, 1 if something falls short. An interrupt prints what was
found so far.`,
		Args:              oneFile,
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := drawnIfAsked(cmd, &f.draw, args); err != nil {
				return err
			}
			e, r, err := c.spread(cmd.Context(), args[0], &f)
			if err != nil {
				return err
			}
			if len(f.draw.out) > 0 && !r.Stopped {
				if err := c.drawSpread(cmd.Context(), e, r, &f); err != nil {
					return err
				}
			}
			if err := c.show(r, nil, f.json); err != nil || !r.Stopped {
				return err
			}
			return context.Canceled // nothing falls short so far, but that is no answer
		},
	}
	f.add(cmd)
	f.draw.page = "1"
	f.draw.addOut(cmd)
	cmd.Flags().IntVar(&f.samples, "samples", spread.Samples, "how many engines to draw")
	cmd.Flags().Uint64Var(&f.seed, "seed", 1, "which engines are drawn")
	cmd.Flags().StringVar(&f.law, "law", spread.Normal.String(), "how sizes are spread between their limits: `normal or even`")
	cmd.Flags().Float64Var(&f.inflate, "inflate", 1, "multiply the root sum square by this `factor`, for parts that lie off the middle; Bender takes 1.5")
	cmd.Flags().BoolVar(&f.levers, "levers", false, "name more tolerances to close, or, where all holds, those that may be opened")
	cmd.Flags().BoolVar(&f.json, "json", false, "print the answers as one JSON object, with every digit")
	return cmd
}

// mostSamples bounds what --samples may ask for.
const mostSamples = 1_000_000

// ask makes the question from the flags.
func (f *spreadFlags) ask(e *assembled.Engine) (spread.Ask, error) {
	q := spread.Ask{Problem: e.Problem, Vary: assembled.Vary(e.Sketch), Samples: f.samples, Seed: f.seed, Inflate: f.inflate, Levers: f.levers,
		Neat: func(dim int, v float64) float64 { return figures.Shorter(e.Units, v, e.Dims[dim].Kind) }}
	switch f.law {
	case spread.Normal.String():
	case spread.Even.String():
		q.Law = spread.Even
	default:
		return q, fmt.Errorf("--law %s: write normal or even", f.law)
	}
	if f.samples < 1 || f.samples > mostSamples {
		return q, fmt.Errorf("--samples %d: write from 1 to %d engines", f.samples, mostSamples)
	}
	if !(f.inflate >= 1 && f.inflate <= 10) {
		return q, fmt.Errorf("--inflate %g: write a factor from 1 to 10, such as 1.5", f.inflate)
	}
	q.Tolerances = variants.Tolerances(e)
	return q, nil
}

// spread reads the sketch and carries its tolerances through.
func (c *console) spread(ctx context.Context, path string, f *spreadFlags) (*assembled.Engine, *variants.Spread, error) {
	e, err := f.open(path)
	if err != nil {
		return nil, nil, err
	}
	q, err := f.ask(e)
	if err != nil {
		return nil, nil, err
	}
	a, err := solved(ctx, c, e, func(p *progress) (*spread.Answer, error) { return spread.Spread(ctx, q, p.options()) })
	if err != nil {
		return nil, nil, err
	}
	return e, variants.NewSpread(e, &q, a), nil
}
