package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"barover/render/sheet"
	"barover/sketch/assembled"
	"barover/sketch/syntax"
)

// pickFlags say of which parts a drawing is made.
type pickFlags struct{ sheet.Pick }

// add adds the flags to a verb that draws an engine.
func (p *pickFlags) add(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringSliceVar(&p.Only, "only", nil, "draw these alone: `names` of parts, or of files used under a name, commas between them")
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

// pickable lists the names that stand for something drawn in any of some engines: parts, profiles, and the names of files used.
func pickable(engines ...*assembled.Engine) (names []string) {
	known := map[string]bool{}
	add := func(name string) {
		if name != "" && !known[name] {
			known[name] = true
			names = append(names, name)
		}
	}
	for _, e := range engines {
		var whole []string
		for i := range e.Problem.Linkage.Parts {
			whole = append(whole, e.Problem.Linkage.Parts[i].Name)
		}
		for i := range e.Problem.Profiles {
			whole = append(whole, e.Problem.Profiles[i].Name)
		}
		for _, name := range whole {
			add(name)
			for at := strings.LastIndex(name, "."); at > 0; at = strings.LastIndex(name, ".") {
				name = name[:at]
				add(name)
			}
		}
	}
	return names
}

// known sees to it that each name is one of some engine's: another is told with the nearest one.
func (p *pickFlags) known(engines ...*assembled.Engine) error {
	names := pickable(engines...)
	for _, flag := range []struct {
		name string
		said []string
	}{{"only", p.Only}, {"without", p.Without}} {
		for _, name := range flag.said {
			if slices.Contains(names, name) {
				continue
			}
			if near := syntax.Nearest(name, names); near != "" {
				return fmt.Errorf("--%s %s: there is no part %s: did you mean %s?", flag.name, name, name, near)
			}
			return fmt.Errorf("--%s %s: there is no part %s: there are %s", flag.name, name, name, strings.Join(names, ", "))
		}
	}
	return nil
}
