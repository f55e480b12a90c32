package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"barover/cmd/barover/follow"
	"barover/render/report"
	"barover/render/sheet"
	"barover/sketch/assembled"
	"barover/sketch/syntax"
	"barover/solver/machine"
)

// watched is one sketch and its drawings.
type watched struct {
	follow.Followed
	c     *console
	look  drawFlags
	outs  []string
	begun time.Time // when the current drawing was begun

	sources []string    // files of all sketches: no drawing is written over one
	sound   bool        // it was once drawn, or had a mistake: then the flags fitted some version of the sketch
	last    *sheet.Book // the last good drawing; nil before there is one
	page    int         // of the last good drawing, what an .svg or .png shows
	shown   pages       // what the files should show now; nil before there is anything
	pending
}

// read reads the sketch. Sources are the files of the other sketches.
func (w *watched) read(sources []string) {
	w.begun = time.Now()
	w.Followed.Read()
	w.sources = append(sources, w.Files()...)
}

// redraw brings the drawings up to date with the text that was read, or stamps them out of date. The error is that of the
// context, or, the first time, of flags that do not fit the sketch.
func (w *watched) redraw(ctx context.Context) error {
	if len(w.Messages) == 0 && w.Sketch.Statements() == 0 { // some editors save in two steps, and the file is empty between them
		return w.outOfDate(ctx, errors.New("there is nothing in it yet"))
	}
	e, err := assembled.AssembleRead(w.Sketch, w.Messages)
	if err != nil {
		return w.outOfDate(ctx, err)
	}
	if err := report.KnownPick(w.look.pick.Pick, e); err != nil {
		return w.wrongFlags(ctx, err)
	}
	res, err := w.c.answer(ctx, e, machine.Options{Checks: true, Levers: machine.NoLevers})
	if err != nil {
		return w.outOfDate(ctx, err)
	}
	book, page, err := w.look.sheets(ctx, e, res)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		return w.wrongFlags(ctx, err)
	}
	w.sound = true
	w.last, w.page = book, page
	if err := w.show(ctx, book); err != nil {
		return err
	}
	told := strings.TrimSpace(report.New(e, res).Sentence() + " " + book.Note())
	w.say("%s drawn in %d ms. %s%s", w.Path, time.Since(w.begun).Milliseconds(), told, w.unwrittenInWords(" ", "written"))
	return nil
}

// wrongFlags reports flags that do not fit the sketch, the first time they are wrong. Later an edit has removed what they
// ask for, and another may bring it back.
func (w *watched) wrongFlags(ctx context.Context, err error) error {
	if !w.sound && ctx.Err() == nil {
		return err
	}
	return w.outOfDate(ctx, err)
}

// attempt is redraw that survives a mistake in barover itself. Such a mistake ends no watch, since the next save may not
// lead to it.
func (w *watched) attempt(ctx context.Context) (err error) {
	defer func() {
		if fault := recover(); fault != nil {
			w.c.confess(fault)
			err = w.outOfDate(ctx, fmt.Errorf("a mistake in barover itself, not in the sketch: %v", fault))
		}
	}()
	return w.redraw(ctx)
}

// outOfDate keeps the last good drawing, with a stamp that says why. The error is that of ctx.
func (w *watched) outOfDate(ctx context.Context, because error) error {
	if ctx.Err() != nil {
		return ctx.Err()
	}
	w.sound = true
	messages := syntax.MessagesIn(because)
	if messages[0].File == nil {
		messages[0].Text = w.Path + ": " + messages[0].Text
	}
	head := messages[0].Head()
	if n := len(messages) - 1; n > 0 {
		head += fmt.Sprintf(" (and %d more)", n)
	}
	why := messages[0].LineFrom(w.Path)
	if w.last == nil {
		return w.noneYet(ctx, head, why)
	}
	if err := w.show(ctx, stamped{w.last, why}); err != nil {
		return err
	}
	if w.lacks(w.outs) {
		w.say("%s. The last drawing stands%s", head, w.unwrittenInWords("; ", "stamped"))
		return nil
	}
	w.say("%s. The last drawing stands, stamped out of date.%s", head, w.unwrittenInWords(" ", "stamped"))
	return nil
}
