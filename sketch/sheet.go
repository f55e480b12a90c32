package sketch

import (
	"fmt"

	"barover/sketch/syntax"
)

// sheet reads the statements about the whole sheet. Each may be given once in a file. Those of the sketch itself come
// before those of a file that it uses, so that a sketch may use another whole sketch. All files have one unit, since it
// is the unit of all their bare numbers.
func (l *loader) sheet() {
	said := map[string]map[*syntax.File]place{}
	own := map[string]bool{}
	var unit place
	for _, st := range l.sketch.statements {
		word := sheetWord(st.s)
		if word == "" {
			continue
		}
		at := place{st.file, st.s.Where()}
		if said[word] == nil {
			said[word] = map[*syntax.File]place{}
		}
		if first, ok := said[word][st.file]; ok {
			l.tell(at, fmt.Sprintf("%s is given twice", word), "take one of the two out", first.note("this is the first"))
			continue
		}
		said[word][st.file] = at
		if u, ok := st.s.(*syntax.Units); ok {
			if unit.file != nil && u.Inches != l.sketch.Units.Inches {
				l.tell(at, fmt.Sprintf("the sketch has %s for its unit already", l.sketch.Units.Name()),
					"the files of a sketch share one unit: put a unit on each length in one of them, and leave out its units line", unit.note("it is given here"))
				continue
			}
			unit = at
			l.sketch.Units.Inches, l.sketch.UnitsSaid = u.Inches, true
			continue
		}
		mine := st.file == l.sketch.Files[0]
		if (mine || len(said[word]) == 1) && !own[word] {
			l.saySheet(st.s)
			own[word] = mine
		}
	}
}

func sheetWord(s syntax.Statement) string {
	switch s.(type) {
	case *syntax.Title:
		return "title"
	case *syntax.Units:
		return "units"
	case *syntax.Paper:
		return "paper"
	case *syntax.Scale:
		return "scale"
	case *syntax.Ghosts:
		return "ghosts"
	}
	return ""
}

func (l *loader) saySheet(s syntax.Statement) {
	switch s := s.(type) {
	case *syntax.Title:
		l.sketch.Title = s.Text.Text
	case *syntax.Paper:
		l.sketch.Paper = Paper{s.Size, s.Portrait, s.Given}
	case *syntax.Scale:
		l.sketch.Scale = Scale{s.Drawing, s.Real}
	case *syntax.Ghosts:
		l.model.ghosts = s.Every
	}
}
