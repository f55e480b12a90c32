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
		cobra.CheckErr(cmd.RegisterFlagCompletionFunc(flag, func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			names, d := completePart(nil, args[len(args)-1:], "")
			return names, d
		}))
	}
}
