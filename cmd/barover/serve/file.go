package serve

import (
	"context"

	"barover/cmd/barover/replace"
	screen "barover/render/page"
	"barover/render/sheet"
	"barover/sketch/assembled"
	"barover/solver"
)

// Page is the page of an engine as one file.
func Page(ctx context.Context, e *assembled.Engine, res *solver.Result, pick sheet.Pick) ([]byte, error) {
	v := newVersion(e, pick)
	v.scene.Others = []screen.Other{} // they are not in the file
	a := v.answer(ctx, res)
	state := pageState{Name: v.scene.File, Seq: 1, Version: 1, Done: true, Answers: a.answers,
		Found: len(a.answers), Total: len(a.answers), Sentence: a.report.Sentence(), Sure: a.sure}
	return (&screen.File{Machine: e.Machine, Scene: v.scene, State: state, Answers: a.answers, Pick: pick}).HTML(ctx)
}

// WritePages writes the page of an engine to each of some files.
func WritePages(ctx context.Context, e *assembled.Engine, res *solver.Result, pick sheet.Pick, outs []string) error {
	if len(outs) == 0 {
		return nil
	}
	b, err := Page(ctx, e, res, pick)
	if err != nil {
		return err
	}
	for _, o := range outs {
		if err := replace.File(ctx, o, b); err != nil {
			return err
		}
	}
	return nil
}
