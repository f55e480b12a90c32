package sketch

import (
	"fmt"
	"slices"
	"strings"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
)

// dimension is a dimension while the sketch is being read; dim is nil for one whose line is missing.
type dimension struct {
	name             string
	stmt, made, plan int // statements, -1 where there is none
	stock            *syntax.Stock
	stocked          int // its statement
	dim, madeLine    *syntax.Dim
	planLine         *syntax.Dim
	drawn            syntax.Expr // the sum of its dim line, or what the use statement of its file gives for it
	given            *instance   // the instance that gives it; nil for none
	variable         int         // its kind, in the inference

	// These come before made, plan and dim: a case or the command line.
	over     syntax.Expr
	overFile *syntax.File
	source   Source
}

// travel is a travel, measured a measure while the sketch is being read.
type travel struct {
	stmt, variable int
	t              *syntax.Turn
}

type measured struct {
	stmt, variable int
	m              *syntax.Measure
}

// declare enters every name that the statements give, so that their order is free.
func (l *loader) declare() {
	l.turn = -1
	l.kinds = &quantity.Inference[place]{}
	frame := thing{sort: aPart}
	l.names.parts.things["frame"] = frame
	l.names.parts.order = append(l.names.parts.order, "frame")
	l.model.parts = append(l.model.parts, written[*syntax.Part]{stmt: -1})
	for i, st := range l.sketch.statements {
		l.declareOne(i, st)
	}
	l.useNames()
	l.strangeSettings()
	l.declareLater()
	l.override()
}

func (l *loader) declareOne(i int, st statement) {
	at := place{st.file, st.s.Where()}
	switch s := st.s.(type) {
	case *syntax.Dim:
		if s.Word == "dim" && l.give(l.names.figures, s.Name, thing{aDim, len(l.dims), at}) {
			l.dims = append(l.dims, dimension{name: s.Name.Text, stmt: i, made: -1, plan: -1, dim: s, drawn: s.Value, variable: l.kinds.Add(s.Name.Text)})
			l.giveDim(&l.dims[len(l.dims)-1], st.file)
			l.sketch.dimNumber[s.Name.Text] = len(l.dims) - 1
		}
	case *syntax.Case:
		l.give(l.names.cases, s.Name, thing{aCase, i, at})
	case *syntax.Turn:
		l.declareTurn(i, s, at)
	case *syntax.Measure:
		if l.give(l.names.figures, s.Name, thing{aMeasure, len(l.measure), at}) {
			l.measure = append(l.measure, measured{i, l.kinds.Add(s.Name.Text), s})
		}
	case *syntax.Mark:
		l.give(l.names.marks, s.Name, thing{aMark, i, at})
	case *syntax.Chart:
		l.give(l.names.charts, s.Name, thing{aChart, i, at})
	case *syntax.Point:
		enter(l, &l.model.points, l.names.points, aPoint, s.Name, at, written[*syntax.Point]{i, s})
	case *syntax.Line:
		enter(l, &l.model.lines, l.names.guides, aLine, s.Name, at, written[*syntax.Line]{i, s})
	case *syntax.Arc:
		enter(l, &l.model.arcs, l.names.guides, anArc, s.Name, at, written[*syntax.Arc]{i, s})
	case *syntax.Slot:
		enter(l, &l.model.slots, l.names.guides, aSlot, s.Name, at, slotLine{written: written[*syntax.Slot]{i, s}})
	case *syntax.Part:
		enter(l, &l.model.parts, l.names.parts, aPart, s.Name, at, written[*syntax.Part]{i, s})
	}
}

// enter names a thing and appends it to the list of its sort, unless the name is taken.
func enter[T any](l *loader, list *[]T, in *space, of sort, name syntax.Name, at place, one T) {
	if l.give(in, name, thing{of, len(*list), at}) {
		*list = append(*list, one)
	}
}

func (l *loader) declareTurn(i int, s *syntax.Turn, at place) {
	if l.giveFigure(s, at) {
		return
	}
	if s.Travel {
		if l.give(l.names.figures, s.Name, thing{aTravel, len(l.travels), at}) {
			l.travels = append(l.travels, travel{i, l.kinds.Add(s.Name.Text), s})
		}
		return
	}
	if l.turn >= 0 {
		first := l.sketch.statements[l.turn]
		help := "what else moves is a travel, or follows from the turn"
		if in := l.instanceOf[at.file]; in != nil {
			help = fmt.Sprintf("give it a value where the file is taken in: as %s : %s = V", in.use.As.Text, strings.TrimPrefix(s.Name.Text, in.prefix))
		}
		l.tell(at, "a sketch has one turn, and this is the second", help,
			place{first.file, first.s.Where()}.note("this is the first"))
		l.lost[s.Name.Text] = true
		return
	}
	if l.give(l.names.figures, s.Name, thing{aTurn, 0, at}) {
		l.turn = i
	}
}

// declareLater enters what belongs to names that other statements give: made and plan lines, profiles.
func (l *loader) declareLater() {
	l.names.profiles = make([]*space, len(l.model.parts))
	for i := range l.names.profiles {
		l.names.profiles[i] = &space{things: map[string]thing{}}
	}
	for i, st := range l.sketch.statements {
		switch s := st.s.(type) {
		case *syntax.Dim:
			if s.Word != "dim" {
				l.declareMade(i, st.file, s)
			}
		case *syntax.Stock:
			l.declareStock(i, st.file, s)
		case *syntax.Profile:
			part, ok := l.partOfProfile(st.file, s.Part)
			if !ok {
				l.loseMeant(s)
			} else if l.give(l.names.profiles[part], profileName(s), thing{aProfile, len(l.model.profiles), place{st.file, s.Span}}) {
				l.model.profiles = append(l.model.profiles, profileLine{written[*syntax.Profile]{i, s}, part})
			}
		}
	}
}

// loseMeant notes that the part which a misspelt name most likely means has lost this profile. That the part has no such profile is then
// not reported as a second mistake.
func (l *loader) loseMeant(s *syntax.Profile) {
	if len(l.messages) > mostMessages {
		return
	}
	if meant := syntax.Nearest(s.Part.Text, l.names.parts.compared()); meant != "" {
		l.lost[meant+"."+s.Name.Text] = true
	}
}

// declareMade joins a made or plan line to its dimension.
func (l *loader) declareMade(i int, file *syntax.File, s *syntax.Dim) {
	d := l.dimNamed(file, s.Name)
	if d < 0 || l.dims[d].given != nil && l.instanceOf[file].isIn(l.dims[d].given) {
		return // the use statement of the file, or of one around it, gives another value
	}
	line, stmt := &l.dims[d].madeLine, &l.dims[d].made
	if s.Word == "plan" {
		line, stmt = &l.dims[d].planLine, &l.dims[d].plan
	}
	if *line != nil {
		l.tell(place{file, s.Name.Span}, fmt.Sprintf("%s has a %s line already", s.Name.Text, s.Word), "take one of the two out",
			l.at(*stmt, (*line).Span).note("this is the first"))
		return
	}
	*line, *stmt = s, i
}

// dimNamed is the number of a dimension, named where no other figure may be named. It is -1, and reported, where there is
// none.
func (l *loader) dimNamed(file *syntax.File, name syntax.Name) int {
	d, _ := number(l.findOnly(aDim, l.names.figures, file, name, "a dimension", ""))
	return d
}

// override puts the cases and the settings of the command line before the lines of their dimensions.
func (l *loader) override() {
	for i, c := range each[*syntax.Case](l.sketch) {
		l.overrideCase(l.sketch.statements[i].file, c)
	}
	for _, name := range l.cases {
		l.findCase(name)
	}
	for _, s := range l.set {
		d := l.dimNamed(s.file, s.name)
		if d < 0 {
			continue
		}
		if l.dims[d].source == FromSet {
			l.tell(place{s.file, s.name.Span}, s.name.Text+" is set twice", "give it once")
			continue
		}
		l.dims[d].over, l.dims[d].overFile, l.dims[d].source = s.value, s.file, FromSet
	}
}

// overrideCase checks that a case names dimensions, each once, and takes its values if the case was asked for. Of two
// cases asked for together, neither may give a dimension that the other gives.
func (l *loader) overrideCase(file *syntax.File, c *syntax.Case) {
	seen := map[string]bool{}
	for _, s := range c.Set {
		d := l.dimNamed(file, s.Dim)
		if seen[s.Dim.Text] {
			l.tell(place{file, s.Dim.Span}, fmt.Sprintf("the case gives %s twice", s.Dim.Text), "take one of the two out")
			continue
		}
		seen[s.Dim.Text] = true
		if d < 0 || !slices.Contains(l.cases, c.Name.Text) {
			continue
		}
		if l.dims[d].source == FromCase {
			l.tell(place{file, s.Dim.Span}, fmt.Sprintf("two of the cases asked for give %s", s.Dim.Text), "ask for one of them alone",
				place{l.dims[d].overFile, l.dims[d].over.Where()}.note("this is the other"))
			continue
		}
		l.dims[d].over, l.dims[d].overFile, l.dims[d].source = s.Value, file, FromCase
	}
}

// mostNamedCases bounds how many cases are listed when the case asked for does not exist.
const mostNamedCases = 12

// findCase checks that the case asked for exists, and is not asked for together with `as drawn`.
func (l *loader) findCase(name string) {
	word := "--case " + name
	file := &syntax.File{Path: "command line", Text: word}
	l.commands = append(l.commands, file)
	at := place{file, syntax.Span{Start: int32(len(word) - len(name)), End: int32(len(word))}}
	if _, ok := l.names.cases.find(name); !ok {
		help := l.didYouMean(l.names.cases, name)
		if cases := l.names.cases.order; help == "" && len(cases) > 0 {
			help = "the sketch has: " + strings.Join(cases[:min(len(cases), mostNamedCases)], ", ")
		}
		l.tell(at, "there is no case "+name, help)
		return
	}
	if l.options.AsDrawn {
		l.tell(at, "--as drawn takes the dim lines alone, so no case goes with it", "leave out --case or --as drawn")
	}
}
