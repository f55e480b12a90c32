package main

import (
	"barover/render/report"
	"bytes"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"
)

// Which barover it is, by what the build knows of it.
func TestBuiltFrom(t *testing.T) {
	of := func(version string, settings ...string) *debug.BuildInfo {
		info := &debug.BuildInfo{Main: debug.Module{Version: version}}
		for i := 0; i < len(settings); i += 2 {
			info.Settings = append(info.Settings, debug.BuildSetting{Key: settings[i], Value: settings[i+1]})
		}
		return info
	}
	tests := []struct {
		info  *debug.BuildInfo
		known bool
		want  string
	}{
		{of("v1.2.0"), true, "v1.2.0"},
		{of("(devel)", "vcs.revision", "3788f35", "vcs.time", "2026-05-01T10:00:00Z", "vcs.modified", "true"), true,
			"built from source, revision 3788f35 of 2026-05-01, with changes"},
		{of("v1.2.0", "vcs.revision", "3788f35", "vcs.modified", "false"), true, "v1.2.0, revision 3788f35"},
		{of(""), true, "built from source"},
		{nil, false, "of unknown version"},
	}
	for _, tt := range tests {
		if got := builtFrom(tt.info, tt.known); got != tt.want {
			t.Errorf("got %q, want %q", got, tt.want)
		}
	}
}

func TestVersionFlag(t *testing.T) {
	text, status := barover(t, "--version")
	if status != report.AllHolds || !strings.HasPrefix(text, "barover ") || strings.Count(text, "\n") != 1 {
		t.Errorf("status %d, says %q", status, text)
	}
}

// Somebody at a terminal is told what was written; a script is not.
func TestWrittenIsTold(t *testing.T) {
	dir := t.TempDir()
	svg, pdf := filepath.Join(dir, "a.svg"), filepath.Join(dir, "a.pdf")
	for _, attending := range []bool{true, false} {
		var out, errs bytes.Buffer
		status := run(t.Context(), []string{"draw", exampleFolder + "/tansy.motion", "-o", svg, "-o", pdf}, &console{out: &out, err: &errs, attending: attending})
		want := ""
		if attending {
			want = svg + " and " + pdf + " written\n"
		}
		if status != report.AllHolds || out.Len() > 0 || errs.String() != want {
			t.Errorf("status %d, says %q and %q, want %q", status, out.String(), errs.String(), want)
		}
	}
}
