package main

import (
	"context"
	"fmt"
	"strconv"

	"barover/render/report"
	"barover/sketch/assembled"
	"barover/solver/machine"

	"github.com/spf13/cobra"
)

// drawnIfAsked checks the flags of a drawing against one another before anything is solved.
func drawnIfAsked(cmd *cobra.Command, d *drawFlags, args []string) error {
	if len(d.out) > 0 {
		_, err := d.outputs(args[len(args)-1])
		return err
	}
	for _, flag := range []string{"at", "page", "label", "paper", "only", "without"} {
		if cmd.Flags().Changed(flag) {
			return fmt.Errorf("--%s is for a drawing; name its file with -o", flag)
		}
	}
	return nil
}

// drawWith draws an engine as it stands and with other values of some dimensions on one sheet. Each value is "NAME=V", as
// for --set; within may be nil.
func (c *console) drawWith(ctx context.Context, e *assembled.Engine, v *valueFlags, d *drawFlags, set []string, within *machine.Envelopes) error {
	o, err := v.with(set...)
	if err != nil {
		return err
	}
	after, err := assembled.AssembleRead(e.Again(o))
	if err != nil {
		return err
	}
	b, err := c.compared(ctx, e, after, false, false)
	if err != nil {
		return err
	}
	b.Within = within
	if err := c.drawBoth(ctx, b, d); err != nil {
		return err
	}
	c.wrote(d.out)
	return nil
}

// drawBoth writes the drawings of both engines that are asked for.
func (c *console) drawBoth(ctx context.Context, b *report.BeforeAfter, d *drawFlags) error {
	if len(d.out) == 0 {
		return nil
	}
	if err := spareAll(d.out, b.Before.Sketch, b.After.Sketch); err != nil {
		return err
	}
	look, err := d.look(b.Before, b.After)
	if err != nil {
		return err
	}
	book, err := b.Book(ctx, look)
	if err != nil {
		return err
	}
	if _, err := strconv.Atoi(d.page); err != nil {
		return fmt.Errorf("--page %s: write a number from 1 to %d", d.page, book.Len())
	}
	page, err := d.pageOf(book)
	if err != nil {
		return err
	}
	if n := book.Note(); n != "" {
		fmt.Fprintf(c.err, "%s: %s\n", b.After.Path, n)
	}
	return writePages(ctx, book, d.out, page)
}
