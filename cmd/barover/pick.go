package main

import (
	"github.com/spf13/cobra"

	"barover/render/sheet"
)

// pickFlags say of which parts a drawing is made.
type pickFlags struct{ sheet.Pick }

// add adds the flags to a verb that draws an engine.
func (p *pickFlags) add(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringSliceVar(&p.Only, "only", nil, "draw these alone: `names` of parts, or of files used under a name, separated by commas")
	f.StringSliceVar(&p.Without, "without", nil, "draw all but these: `names` as for --only")
	for _, flag := range []string{"only", "without"} {
		offer(cmd, flag, cobra.ShellCompDirectiveNoFileComp, partsOf)
	}
}
