package main

import (
	"cmp"
	"context"
	"errors"
	"slices"

	"barover/cmd/barover/replace"
	"barover/render/drawing"
	"barover/render/office"
	"barover/render/pdf"
	"barover/render/raster"
	"barover/render/svg"
)

// drawnAs is the kind of drawing in a file, by its name: one of endings, or "" for what cannot be drawn.
func drawnAs(path string) string {
	if e := endingOf(path); slices.Contains(endings, e) {
		return e
	}
	return ""
}

// pages are the sheets to write: drawn on demand, or all drawn before.
type pages interface {
	Len() int
	Sheet(i int) *drawing.Drawing
}

// writePages writes sheets to files, by their endings. Files with one page, counted from zero, come first, so that a
// reader waits for that sheet alone; then come files with all sheets. If one file cannot be written, the others still
// are: the error has one line for each.
func writePages(ctx context.Context, p pages, outs []string, page int) error {
	var failed []error
	for _, o := range inOrder(outs) {
		if err := writePage(ctx, p, o, page); err != nil {
			failed = append(failed, err)
		}
		if err := ctx.Err(); err != nil {
			return err
		}
	}
	return errors.Join(failed...)
}

// inOrder is outputs in the order in which they are written.
func inOrder(outs []string) []string {
	outs = slices.Clone(outs)
	slices.SortStableFunc(outs, func(a, b string) int { return cmp.Compare(takes(drawnAs(a)), takes(drawnAs(b))) })
	return outs
}

// writePage writes sheets to one file.
func writePage(ctx context.Context, p pages, out string, page int) error {
	made, err := encode(ctx, p, drawnAs(out), page)
	if err != nil {
		return err
	}
	return replace.File(ctx, out, made)
}

// takes is the order of the kinds of drawing by how long they keep others waiting.
func takes(as string) int { return slices.Index([]string{"svg", "png", "pdf"}, as) }

// encode writes sheets as one file. The error is that of ctx: an interrupted file must not look whole.
func encode(ctx context.Context, p pages, as string, page int) (made []byte, err error) {
	switch as {
	case "pdf":
		var all []*drawing.Drawing
		for i := range p.Len() {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			all = append(all, p.Sheet(i))
		}
		made = pdf.Bytes(all...)
	case "png":
		one := p.Sheet(page)
		made, err = raster.Bytes(ctx, one, raster.Resolution(one))
	default:
		if s, ok := p.(stamped); ok { // in a form that a later run can remove
			made = svg.Stamp(svg.Bytes(s.pages.Sheet(page)), s.layer)
		} else {
			made = svg.Bytes(p.Sheet(page))
		}
	}
	return made, cmp.Or(ctx.Err(), err)
}

// stamped are sheets with a stamp over each.
type stamped struct {
	pages
	text string
}

func (s stamped) layer(width, height float64) *drawing.Layer {
	return office.StampLayer(width, height, s.text)
}

// Sheet is the i-th sheet with its stamp.
func (s stamped) Sheet(i int) *drawing.Drawing { return office.Stamp(s.pages.Sheet(i), s.text) }
