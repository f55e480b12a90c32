package variants

import (
	"barover/render/report"
	"barover/render/report/figures"
	"barover/solver/field"
)

// FieldPage is the map of a field as the page draws it. Places are shares of what was looked over, from 0 to 1.
type FieldPage struct {
	Dims     [2]string    `json:"dims"`
	Ends     [2][2]string `json:"ends"` // the range of each dimension, in words
	Now      [2]float64   `json:"now"`
	Best     *[2]float64  `json:"best"`
	Stock    [][2]float64 `json:"stock"` // pairs of sizes available
	Cells    []PageCell   `json:"cells"`
	Sides    []string     `json:"sides"` // what stops it on each side
	Words    []string     `json:"words"` // how it all came out
	HoldsNow bool         `json:"holdsNow"`
}

// PageCell is a part of it.
type PageCell struct {
	From [2]float64 `json:"from"`
	To   [2]float64 `json:"to"`
	Look string     `json:"look"` // holds, short, open
	Says string     `json:"says"`
}

// OnPage is the map for the page.
func (r *Field) OnPage() *FieldPage {
	share := func(v [2]float64) (u [2]float64) {
		for k := range 2 {
			u[k] = (v[k] - r.a.From[k]) / (r.a.To[k] - r.a.From[k])
		}
		return u
	}
	p := &FieldPage{Dims: r.Dims, Now: share(r.q.Now), Cells: []PageCell{}, Sides: r.sidesText(), HoldsNow: r.HoldAt}
	for k := range 2 {
		p.Ends[k] = [2]string{r.size(k, r.a.From[k]), r.size(k, r.a.To[k])}
	}
	if r.a.Room > 0 {
		best := share(r.a.Best)
		p.Best = &best
	}
	p.Stock = figures.Each(r.stockGrid(), func(v *[2]float64) [2]float64 { return share(*v) })
	w := report.NewReporter(r.e)
	p.Cells = figures.Each(r.a.Cells, func(c *field.Cell) PageCell { return PageCell{share(c.From), share(c.To), r.look(c), r.says(w, c)} })
	if text := r.stockText(); text != "" {
		p.Words = append(p.Words, text)
	}
	p.Words = append(p.Words, r.sentence())
	return p
}

func (r *Field) look(c *field.Cell) string {
	switch c.State {
	case field.Holds:
		return "holds"
	case field.Short:
		return "short"
	}
	return "open"
}

// says is what is known of a cell.
func (r *Field) says(w report.Reporter, c *field.Cell) string {
	text := r.spell(0, c) + ", " + r.spell(1, c) + ": "
	named := ""
	if c.Check >= 0 {
		named = w.Name(c.Check).Named
	}
	switch {
	case c.State == field.Holds:
		return text + "proved to hold"
	case c.State == field.Short:
		return text + "proved to fall short: " + named
	case !c.Seen:
		return text + "not looked at"
	case c.Middle:
		return text + "holds in the middle, not proved all over: " + named
	case named == "":
		return text + "cannot be assembled in the middle"
	}
	return text + "falls short in the middle: " + named
}

func (r *Field) spell(k int, c *field.Cell) string {
	return r.Dims[k] + " " + r.size(k, c.From[k]) + " to " + r.size(k, c.To[k])
}

// stockGrid is every pair of sizes available within what was looked over.
func (r *Field) stockGrid() (list [][2]float64) {
	for _, x := range r.d[0].Stock {
		for _, y := range r.d[1].Stock {
			if x >= r.a.From[0] && x <= r.a.To[0] && y >= r.a.From[1] && y <= r.a.To[1] {
				list = append(list, [2]float64{x, y})
			}
		}
	}
	return list
}
