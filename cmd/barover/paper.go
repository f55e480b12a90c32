package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"barover/sketch"
)

// paperSizes are the sizes of sheets.
var paperSizes = []string{"A4", "A3", "A2", "A1", "A0"}

// paperFlag is the rest of a paper line, given on the command line. It replaces the sketch's own.
type paperFlag struct{ sketch.Paper }

var _ pflag.Value = (*paperFlag)(nil)

// add adds the flag to a verb that draws.
func (p *paperFlag) add(cmd *cobra.Command) {
	cmd.Flags().Var(p, "paper", "the `sheet`, as in a paper line: A4 to A0, \"A4 landscape\", \"A3 portrait\"; the sketch's if left out")
	offer(cmd, "paper", cobra.ShellCompDirectiveNoFileComp, always(paperSizes...))
}

// Set reads the flag.
func (p *paperFlag) Set(s string) error {
	words := strings.Fields(s)
	if len(words) == 0 || len(words) > 2 || !slices.Contains(paperSizes, strings.ToUpper(words[0])) {
		return fmt.Errorf("write A4, A3, A2, A1 or A0, and landscape or portrait: \"A4 portrait\"")
	}
	p.Paper = sketch.Paper{Size: strings.ToUpper(words[0])}
	if len(words) == 2 {
		p.Oriented, p.Portrait = true, words[1] == "portrait"
		if !p.Portrait && words[1] != "landscape" {
			return fmt.Errorf("%s is neither landscape nor portrait: write one of these, or neither", words[1])
		}
	}
	return nil
}

// Type is what the flag takes, for the help.
func (p *paperFlag) Type() string { return "sheet" }

// String is the flag's value.
func (p *paperFlag) String() string {
	switch {
	case p.Portrait:
		return p.Size + " portrait"
	case p.Oriented:
		return p.Size + " landscape"
	}
	return p.Size
}
