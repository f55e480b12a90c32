package main

import (
	"context"

	"github.com/spf13/cobra"

	"barover/cmd/barover/replace"
	"barover/render/report"

	"barover/sketch/source"
	"barover/sketch/syntax"
)

func newTidy(c *console) *cobra.Command {
	return &cobra.Command{
		Use:   "tidy FILE…",
		Short: "Put sketches in the standard layout, in place",
		Long: `tidy lines up statements of one kind and mends blanks. Every word, number and comment stays as it was
written. A sketch with a mistake in its form is not touched.`,
		Args:              someFiles,
		ValidArgsFunction: completeSketch,
		RunE: func(cmd *cobra.Command, args []string) error {
			status := report.AllHolds
			for _, path := range args {
				if err := tidy(cmd.Context(), path); err != nil {
					c.complain(err)
					status = unusable
				}
			}
			return endWith(status)
		},
	}
}

// tidy lays one file out again, and does not touch it where that changes nothing.
func tidy(ctx context.Context, path string) error {
	text, err := source.ReadFile(path)
	if err != nil {
		return syntax.Messages{source.Unread(path, err)}
	}
	laid, messages := syntax.Tidy(path, string(text))
	if len(messages) > 0 {
		return syntax.Messages(messages)
	}
	if laid == string(text) {
		return nil
	}
	return replace.File(ctx, path, []byte(laid))
}
