package report

import (
	"context"
	"encoding/json"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/solver"
)

// The table of settings is read as whoever sets a valve reads it: a row a notch, front and back side by side with their
// difference.

// SettingsReport is the answer to table --settings.
type SettingsReport struct {
	Sketch  string          `json:"sketch"`
	Units   string          `json:"units"`
	Values  string          `json:"values"`
	Columns []settingColumn `json:"columns"`
	Rows    []settingRow    `json:"rows"`

	e      *assembled.Engine
	status int
}

// Status is what the verb ends with.
func (r *SettingsReport) Status() int { return r.status }

// settingColumn is a column, of however many lines.
type settingColumn struct {
	Name string `json:"name"`
	Note string `json:"note"`
	Kind string `json:"kind"` // "length", "angle" or "number"

	kind  quantity.Kind
	two   bool
	share bool
}

// settingRow is one setting: by column its figure, or those of the front and the back and their difference.
type settingRow struct {
	At  figures.List
	of  [][]figures.Figure
	all []settingColumn
}

func (r settingRow) MarshalJSON() ([]byte, error) {
	shows := map[string]any{}
	for i, c := range r.all {
		v := r.of[i]
		switch {
		case v == nil:
			shows[c.Name] = nil
		case c.two:
			shows[c.Name] = map[string]figures.Figure{"front": v[0], "back": v[1], "difference": v[0] - v[1]}
		default:
			shows[c.Name] = v[0]
		}
	}
	return json.Marshal(map[string]any{"at": r.At, "shows": shows})
}

// NewSettingsReport computes the table of settings.
func NewSettingsReport(ctx context.Context, e *assembled.Engine, ends bool) (*SettingsReport, error) {
	rows, broken, err := e.Machine.SettingTable(ctx, ends)
	if err != nil {
		return nil, err
	}
	r := &SettingsReport{Sketch: filepath.ToSlash(e.Path), Units: e.Units.Name(), Values: e.Shown, e: e, status: StatusOf(len(broken) == 0), Columns: []settingColumn{}, Rows: []settingRow{}}
	for _, c := range e.Problem.Columns {
		if slices.ContainsFunc(r.Columns, func(o settingColumn) bool { return o.Name == c.Name }) {
			continue
		}
		k := quantity.KindOf(c.Angle, c.Number)
		r.Columns = append(r.Columns, settingColumn{c.Name, c.Note, kindName(c), k, len(c.Of) == 2, k.Is(quantity.Plain)})
	}
	for _, m := range rows {
		row := settingRow{At: NewReporter(e).travel(m.Travel), of: make([][]figures.Figure, len(r.Columns))}
		for i, c := range e.Problem.Columns {
			at := slices.IndexFunc(r.Columns, func(o settingColumn) bool { return o.Name == c.Name })
			if m.Of[i] == nil || row.of[at] != nil {
				continue
			}
			for _, v := range m.Of[i] {
				row.of[at] = append(row.of[at], figures.Of(e.Units, v, r.Columns[at].kind))
				r.Columns[at].share = r.Columns[at].share && !(v < -1e-9 || v > 1+1e-9)
			}
		}
		r.Rows = append(r.Rows, row)
	}
	for i := range r.Rows {
		r.Rows[i].all = r.Columns
	}
	return r, nil
}

func kindName(c solver.Column) string {
	switch {
	case c.Angle:
		return "angle"
	case c.Number:
		return "number"
	}
	return "length"
}

// cell writes a figure for reading: a share in per cent.
func (r *SettingsReport) cell(v figures.Figure, c *settingColumn) string {
	if v.Missing() {
		return "–"
	}
	if c.share {
		s := strconv.FormatFloat(quantity.HalfUp(100*float64(v), 1), 'f', 1, 64)
		if strings.Trim(s, "-0.") == "" {
			return "0.0"
		}
		return s
	}
	return v.Read(r.e.Units, c.kind)
}

// tables are the columns in groups: of one with front and back, these and their difference.
func (r *SettingsReport) tables() *markTables {
	t := &markTables{title: "Settings", rows: len(r.Rows)}
	for k, m := range r.e.Problem.Travels {
		c := markColumn{head: m.Name, cells: figures.Each(r.Rows, func(row *settingRow) string { return row.At[k].Value.Size(r.e.Units, row.At[k].Kind) })}
		if m.Range && !slices.ContainsFunc(r.Rows, func(row settingRow) bool { return !row.At[k].Rest }) {
			continue // at rest everywhere: the title says so
		}
		t.labels = append(t.labels, c)
	}
	if len(t.labels) == 0 {
		t.labels = []markColumn{{cells: make([]string, len(r.Rows))}}
	}
	for i := range r.Columns {
		c := &r.Columns[i]
		g := markGroup{name: c.Name}
		if c.share {
			g.name += " %"
		}
		heads := []string{""}
		if c.two {
			heads = []string{"front", "back", "diff"}
		}
		for k, head := range heads {
			col := markColumn{head: head}
			for _, row := range r.Rows {
				var v figures.Figure
				switch of := row.of[i]; {
				case of == nil:
					col.cells = append(col.cells, "")
					continue
				case k == 2:
					v = of[0] - of[1]
				default:
					v = of[k]
				}
				col.cells = append(col.cells, r.cell(v, c))
			}
			g.columns = append(g.columns, col)
		}
		t.groups = append(t.groups, g)
	}
	return t
}

// Text is the table for a terminal.
func (r *SettingsReport) Text(c terminal.Ink) string {
	return Title(r.e, "") + r.tables().Text(c)
}

// Markdown is the table in Markdown.
func (r *SettingsReport) Markdown() string {
	return "# " + strings.TrimSpace(strings.SplitN(Title(r.e, ""), "\n", 2)[0]) + "\n" + r.tables().Markdown()
}
