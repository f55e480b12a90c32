package main

import (
	"maps"
	"path/filepath"
	"testing"

	"barover/render/report"
	"barover/solver"
)

// notProved are the checks of the sketches here that are only looked at, by the sketch's name and what they are called, with the
// reason. There are to be no others.
var notProved = map[string]map[string]solver.Why{
	"quartering.motion": { // what tells two coupled axles apart are loose rods alone
		"loose drive_near – lead_near": solver.LooseLines,
		"loose drive_far – lead_far":   solver.LooseLines,
	},
}

// notProvedMeasures are measures, with the reason.
var notProvedMeasures = map[string]string{
	"quartering.motion lag":      "loose rods place the axle",
	"lap-lever.motion arm_ratio": "it is divided by the way of a valve that passes zero: it has no greatest",
	"slide-valve.motion bourne":  "a root of what goes below zero: it has no value over part of the turn",
	"triple-rocker.motion th4":   "it cannot be assembled over all of the turn, and a heading runs on over what is left out",
	"watt-curve.motion miss":     "a root that touches zero",
}

// Every check and every measure of the examples, of the starters and of the published sketches is proved over the whole turn.
func TestEverythingIsProved(t *testing.T) {
	for _, folder := range []string{exampleFolder, filepath.Join(exampleFolder, "start"), referenceFolder} {
		list, err := filepath.Glob(filepath.Join(folder, "*.motion"))
		if err != nil || len(list) == 0 {
			t.Fatalf("%s: %v sketches, %v", folder, len(list), err)
		}
		for _, path := range list {
			t.Run(filepath.Base(path), func(t *testing.T) { provedAll(t, path) })
		}
	}
}

func provedAll(t *testing.T, path string) {
	e, res := studied(t, path)
	left, answers := maps.Clone(notProved[filepath.Base(path)]), report.New(e, res).Checks
	for i := range res.Findings {
		f := &res.Findings[i]
		if f.Sure == solver.Proved && len(f.Unproved) == 0 {
			continue
		}
		if why, known := left[answers[i].Named]; !known || len(f.Unproved) == 0 || f.Unproved[0].Why != why {
			t.Errorf("%s: %v, %v", answers[i].Named, f.Sure, f.Unproved)
		}
		delete(left, answers[i].Named)
	}
	for name := range left {
		t.Errorf("%s is proved: take it off the list", name)
	}
	for _, x := range res.Extremes {
		name := filepath.Base(path) + " " + e.Problem.Measures[x.Measure].Name
		if (x.Sure != solver.Proved) != (notProvedMeasures[name] != "") {
			t.Errorf("measure %s: %v", name, x.Sure)
		}
	}
}
