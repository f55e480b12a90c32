package main

import (
	"runtime/debug"
	"strings"
)

// builtFrom says which barover this is: the version of the module, and the revision that it was built from where that is
// known. The version of a program built from a checkout may have the revision in it.
func builtFrom(info *debug.BuildInfo, known bool) string {
	if !known || info == nil {
		return "of unknown version"
	}
	set := map[string]string{}
	for _, s := range info.Settings {
		set[s.Key] = s.Value
	}
	words := info.Main.Version
	if words == "" || words == "(devel)" {
		words = "built from source"
	}
	if r := set["vcs.revision"]; r != "" {
		words += ", revision " + r
		if day, _, ok := strings.Cut(set["vcs.time"], "T"); ok {
			words += " of " + day
		}
		if set["vcs.modified"] == "true" {
			words += ", with changes"
		}
	}
	return words
}
