package main

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"barover/render/report/variants"
	"barover/render/terminal"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/solver/field"
	"barover/solver/seek"
)

// mostLooked bounds the time for the map of two dimensions. Cells not decided by then are left open, and shown as such.
var mostLooked = 16 * time.Second

// seekTwo maps two dimensions.
func (c *console) seekTwo(ctx context.Context, path string, names [2]string, f *seekFlags) (*variants.Field, error) {
	if _, err := f.draw.outputs(path); err != nil {
		return nil, err
	}
	e, err := f.open(path)
	if err != nil {
		return nil, err
	}
	from, to, err := f.corners()
	if err != nil {
		return nil, err
	}
	var dims [2]int
	for k, name := range names {
		if dims[k], err = dimNamed(e, name); err != nil {
			return nil, err
		}
	}
	q := variants.FieldQuery(e, dims)
	for k := range names {
		if q.From[k], q.To[k], err = f.side(e, &e.Dims[dims[k]], from[k], to[k]); err != nil {
			return nil, err
		}
		q.Near[k] = f.from == "" && f.to == ""
	}
	if q.Dims[0] == q.Dims[1] {
		return nil, fmt.Errorf("%s is named twice: name two dimensions, or one", names[0])
	}
	if q.Checks, err = variants.ChecksMeant(e, f.check); err != nil {
		return nil, err
	}
	a, err := solved(ctx, c, e, func(p *progress) (*field.Answer, error) {
		q.Found = c.firstMap(p, e, f.check, q)
		q.Until = time.Now().Add(mostLooked)
		return field.Seek(ctx, *q, p.options())
	})
	if err != nil {
		return nil, err
	}
	r := variants.FieldOf(e, f.check, q, a)
	return r, c.drawField(ctx, e, r, f)
}

// mostWaited is the longest wait for a first map with a cell in it that holds.
const mostWaited = 5 * patience / 2

// firstMap shows somebody at a terminal the first map, once, since the whole may take a while.
func (c *console) firstMap(p *progress, e *assembled.Engine, check string, q *field.Query) func(*field.Answer) {
	shown := !c.attending
	return func(a *field.Answer) {
		holds := slices.ContainsFunc(a.Cells, func(c field.Cell) bool { return c.State == field.Holds })
		if gone := time.Since(p.start); shown || gone < patience || !holds && gone < mostWaited {
			return
		}
		shown = true
		p.end()
		fmt.Fprint(c.err, variants.FieldOf(e, check, q, a).SoFar(terminal.Ink(false)))
	}
}

// drawField writes the map.
func (c *console) drawField(ctx context.Context, e *assembled.Engine, r *variants.Field, f *seekFlags) error {
	if len(f.draw.out) == 0 {
		return nil
	}
	if err := spareAll(f.draw.out, e.Sketch); err != nil {
		return err
	}
	if err := writePages(ctx, r, f.draw.out, 0); err != nil {
		return err
	}
	c.wrote(f.draw.out)
	return nil
}

// corners are the words of --from and --to for each dimension; "" for the usual.
func (f *seekFlags) corners() (from, to [2]string, err error) {
	for _, end := range []struct {
		flag, word string
		to         *[2]string
	}{{"from", f.from, &from}, {"to", f.to, &to}} {
		if end.word == "" {
			continue
		}
		words := strings.Split(end.word, ",")
		if len(words) != 2 {
			return from, to, fmt.Errorf("--%s %s: write a value for either dimension, with a comma between them", end.flag, end.word)
		}
		*end.to = [2]string{strings.TrimSpace(words[0]), strings.TrimSpace(words[1])}
	}
	return from, to, nil
}

// side is the range of one dimension to search.
func (f *seekFlags) side(e *assembled.Engine, d *sketch.Dim, from, to string) (lo, hi float64, err error) {
	one := *f
	one.from, one.to = from, to
	q := seek.Query{}
	q.From, q.To = seek.Limits(variants.SeekKind(d.Kind), d.Value, e.Machine.Size)
	err = one.limits(e, d, &q)
	return q.From, q.To, err
}
