package report

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"barover/render/sheet"
	"barover/sketch/assembled"
	"barover/sketch/syntax"
)

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

// KnownPick makes sure that each name is one of some engine's: another is reported with the nearest one.
func KnownPick(p sheet.Pick, engines ...*assembled.Engine) error {
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
	for _, e := range engines {
		for i := range e.Problem.Profiles {
			if p.Takes(e.Problem.Profiles[i].Name) {
				return nil
			}
		}
		for i := range e.Problem.Linkage.Parts {
			if p.Takes(e.Problem.Linkage.Parts[i].Name) {
				return nil
			}
		}
	}
	return errors.New("--only and --without together leave nothing to draw")
}
