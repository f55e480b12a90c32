package page

import (
	"cmp"
	"context"
	"encoding/base64"
	"math"
	"slices"
	"strconv"

	"barover/render/drawing"
	"barover/render/sheet"
	"barover/render/svg"
	"barover/solver"
	"barover/solver/machine"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// Words are what a page says in the words of the sketch.
type Words struct {
	Title, File string
	Values      string  // which values count: "as it stands"
	Unit        string  // "mm", "in"
	PerUnit     float64 // mm
	Decimals    int     // of a length
	Ghosts      float64 // rad, of the turn between positions drawn thin
	Pick        sheet.Pick
	Size        func(mm float64) string
	Angle       func(rad float64) string
	Plain       func(v float64) string
	Line        func(stmt int) string // where a statement stands: "line 40"
	Text        func(stmt int) string // the statement itself
	Dims        []Dim                 // by Problem.Dims
	Others      []Other               // what the engine can be compared with
	Scans       []sheet.Scan          // pictures of the old drawing
}

// Dim is a dimension as the page reports it.
type Dim struct {
	Name  string `json:"name"`
	Value string `json:"value"`
	Says  string `json:"says"` // which line the value comes from, and what else is known of it
	Line  string `json:"line"`
}

// Other is an engine to compare with.
type Other struct {
	Key  string `json:"key"` // "drawn", "case NAME", "before"
	Name string `json:"name"`
}

// Scene is all of an engine that does not move: it goes over once.
type Scene struct {
	Title    string    `json:"title"`
	File     string    `json:"file"`
	Values   string    `json:"values"`
	Unit     string    `json:"unit"`
	PerUnit  float64   `json:"perUnit"`
	Decimals int       `json:"decimals"`
	Varies   bool      `json:"varies"` // tolerances or play let engines differ, and their band may be asked for
	Turn     Turn      `json:"turn"`
	Travels  []Travel  `json:"travels"`
	Parts    []Part    `json:"parts"`
	Profiles []Profile `json:"profiles"` // from the datum outward
	Lines    []Line    `json:"lines"`
	Points   []string  `json:"points"` // names of the points that go over with the positions
	Traces   []int     `json:"traces"` // which of them leave a path
	Sticks   [][2]int  `json:"sticks"` // pairs of them
	Ghosts   float64   `json:"ghosts"` // degrees
	Dims     []Dim     `json:"dims"`
	Others   []Other   `json:"others"`
	Scans    []Scan    `json:"scans"` // pictures of the old drawing, beneath all else
}

// Turn is the range of the turn, degrees.
type Turn struct {
	Name  string  `json:"name"`
	From  float64 `json:"from"`
	To    float64 `json:"to"`
	Round bool    `json:"round"` // it is a whole turn
	Fixed bool    `json:"fixed"` // the sketch has no turn
}

// Travel is a running range or a list of settings, in the solver's unit.
type Travel struct {
	Name   string    `json:"name"`
	Range  bool      `json:"range"`
	From   float64   `json:"from"`
	To     float64   `json:"to"`
	Rest   float64   `json:"rest"`
	Stops  []float64 `json:"stops"`
	Labels []string  `json:"labels"` // of the stops
	Kind   string    `json:"kind"`   // length, angle, number
}

// Part is a part of the linkage. Row is where its positions stand in a Motion; -1 for the frame.
type Part struct {
	Name string `json:"name"`
	Row  int    `json:"row"`
}

// Profile is one thickness of a part.
type Profile struct {
	Index int          `json:"index"` // into Problem.Profiles
	Name  string       `json:"name"`
	Part  int          `json:"part"`
	From  Number       `json:"from"` // across, mm
	To    Number       `json:"to"`
	Play  float64      `json:"play"` // across, either way, mm
	Path  string       `json:"path"`
	Hull  []float64    `json:"hull"` // corners x, y of a polygon round it, y up, mm: how far it reaches
	Axes  [][3]float64 `json:"axes"` // of its rounds: x, y, radius
	Line  string       `json:"line"`
	Text  string       `json:"text"`
	Dims  []int        `json:"dims"` // that it is written with
}

// Line is a centre line: it stands still, at x, y with the direction dx, dy.
type Line struct {
	Name string     `json:"name"`
	At   [4]float64 `json:"at"`
}

// Scan is a picture of the old drawing, as the page shows it.
type Scan struct {
	Picture string     `json:"picture"` // a PNG as an address of its own
	Width   int        `json:"width"`
	Height  int        `json:"height"`
	At      [6]float64 `json:"at"` // the matrix that puts its pixels on the engine, y down
}

// mostScan is how many pixels a picture has on the page, the longer way.
const mostScan = 1400

func scansOf(list []sheet.Scan) []Scan {
	out := []Scan{}
	for i := range list {
		small, file, ok := list[i].Small(mostScan)
		if !ok {
			continue
		}
		w, h := small.Size[0], small.Size[1]
		out = append(out, Scan{"data:image/png;base64," + base64.StdEncoding.EncodeToString(file), w, h,
			[6]float64{small.Right.X, -small.Right.Y, small.Down.X, -small.Down.Y, small.Origin.X, -small.Origin.Y}})
	}
	return out
}

// NewScene makes the scene of an engine.
func NewScene(m *machine.Machine, w Words) *Scene {
	p := m.Problem
	s := &Scene{Title: w.Title, File: w.File, Values: w.Values, Unit: w.Unit, PerUnit: w.PerUnit, Decimals: w.Decimals,
		Ghosts: degrees(w.Ghosts), Dims: nonNil(w.Dims), Others: nonNil(w.Others), Travels: []Travel{}, Lines: []Line{}, Scans: scansOf(w.Scans),
		Points: []string{}, Traces: []int{}, Sticks: [][2]int{}, Profiles: []Profile{}}
	s.Turn = Turn{cmp.Or(p.Turn.Name, "crank"), degrees(p.Turn.From), degrees(p.Turn.To), p.Turn.To-p.Turn.From > 2*math.Pi-1e-9, p.Turn.Stmt < 0}
	for i := range p.Travels {
		s.Travels = append(s.Travels, travelOf(&p.Travels[i], w))
	}
	row := 0
	for i := range p.Linkage.Parts {
		part := Part{p.Linkage.Parts[i].Name, -1}
		if p.Linkage.Parts[i].Kind != schedule.Frame {
			part.Row = row
			row++
		}
		s.Parts = append(s.Parts, part)
	}
	e := sheet.Engine{Problem: p, Values: m.Values, Regions: m.Regions, Pick: w.Pick}
	users := p.Users()
	for _, b := range e.Bodies() {
		s.Profiles = append(s.Profiles, profileOf(m, b, w, users))
	}
	s.shown(m, &e)
	return s
}

func nonNil[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

func travelOf(t *solver.Travel, w Words) Travel {
	out := Travel{Name: t.Name, Range: t.Range, From: t.From, To: t.To, Rest: t.Rest, Stops: nonNil(t.Settings), Kind: "length", Labels: []string{}}
	say := w.Size
	switch {
	case t.Angle:
		out.Kind, say = "angle", w.Angle
	case t.Number:
		out.Kind, say = "number", w.Plain
	}
	if !t.Range && len(t.Settings) > 0 {
		out.From, out.To = slices.Min(t.Settings), slices.Max(t.Settings)
	}
	for _, v := range out.Stops {
		out.Labels = append(out.Labels, say(v))
	}
	return out
}

// hullShare is the size of an outline over the error of the polygon that tells how far it reaches.
const hullShare = 2000

func profileOf(m *machine.Machine, b sheet.Body, w Words, users []solver.Users) Profile {
	p := &m.Problem.Profiles[b.Profile]
	band := m.Bands[b.Profile]
	out := Profile{Index: b.Profile, Name: p.Name, Part: b.Part, From: Number(band.From), To: Number(band.To), Play: band.Play,
		Path: svg.PathData(b.Path), Line: w.Line(p.Stmt), Text: w.Text(p.Stmt), Hull: []float64{}, Axes: [][3]float64{}, Dims: []int{}}
	runs, _ := b.Path.Flat(max(m.Regions[b.Profile].Radius/hullShare, 1e-4))
	for _, v := range hull(slices.Concat(runs...)) {
		out.Hull = append(out.Hull, rounded(v.X), rounded(v.Y))
	}
	for _, a := range b.Axes {
		out.Axes = append(out.Axes, [3]float64{rounded(a.C.X), rounded(a.C.Y), rounded(a.R)})
	}
	for d, u := range users {
		if slices.Contains(u.Profiles, b.Profile) || slices.Contains(u.Parts, b.Part) {
			out.Dims = append(out.Dims, d)
		}
	}
	return out
}

func rounded(mm float64) float64 { return math.Round(mm*1e4) / 1e4 }

// hull is the convex polygon round some points, by the monotone chain.
func hull(v []plane.Vec) []plane.Vec {
	v = slices.Clone(v)
	slices.SortFunc(v, func(a, b plane.Vec) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	half := func(list []plane.Vec) (out []plane.Vec) {
		for _, q := range list {
			for len(out) > 1 && !(out[len(out)-1].Sub(out[len(out)-2]).Cross(q.Sub(out[len(out)-1])) > 0) {
				out = out[:len(out)-1]
			}
			out = append(out, q)
		}
		return out
	}
	if len(v) < 3 {
		return v
	}
	low := half(v)
	slices.Reverse(v)
	high := half(v)
	return append(low[:len(low)-1], high[:len(high)-1]...)
}

// shownPoints are the points that go over with the positions: those that leave a path and, of parts without an outline, the ends of
// their sticks.
func shownPoints(m *machine.Machine) []int {
	list := slices.Clone(m.Problem.Traces)
	e := sheet.Engine{Problem: m.Problem, Values: m.Values, Regions: m.Regions}
	for _, k := range e.Sticks() {
		for _, p := range k {
			if !slices.Contains(list, p) {
				list = append(list, p)
			}
		}
	}
	return list
}

// shown adds points, sticks and the lines that stand still.
func (s *Scene) shown(m *machine.Machine, e *sheet.Engine) {
	model := m.Problem.Linkage
	points := shownPoints(m)
	for _, p := range points {
		s.Points = append(s.Points, cmp.Or(model.Points[p].Name, strconv.Itoa(p)))
	}
	for i, p := range m.Problem.Traces {
		if e.Leaves(p) {
			s.Traces = append(s.Traces, i)
		}
	}
	for _, k := range e.Sticks() {
		s.Sticks = append(s.Sticks, [2]int{slices.Index(points, k[0]), slices.Index(points, k[1])})
	}
}

// SweptPath is what one part passes over.
type SweptPath struct {
	Part int    `json:"part"`
	Play bool   `json:"play,omitempty"` // wherever it stands in its play
	Path string `json:"path"`
}

// Swept returns what the picked parts sweep over the turn at a travel setting (mm or rad, one for each travel).
func Swept(ctx context.Context, m *machine.Machine, pick sheet.Pick, travel []float64) []SweptPath {
	drawn := sheet.Of(ctx, m, nil)
	drawn.Pick = pick
	out := []SweptPath{}
	for _, s := range drawn.Swept(travel) {
		out = append(out, SweptPath{s.Part, s.Play, svg.PathData(drawing.Path(s.Path))})
	}
	return out
}
