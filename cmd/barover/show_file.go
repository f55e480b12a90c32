package main

import (
	"context"
	"strings"

	screen "barover/render/page"
	"barover/solver"
)

// pageFile is the page of an engine as one file.
func (e *engine) pageFile(ctx context.Context, res *solver.Result) ([]byte, error) {
	v := newVersion(e)
	v.scene.Others = []screen.Other{} // they are not in the file
	a := v.answer(res)
	state := pageState{Name: v.scene.File, Seq: 1, Version: 1, Done: true, Answers: a.answers,
		Found: len(a.answers), Total: len(a.answers), Sentence: a.report.sentence(),
		Sure: strings.TrimSpace(a.report.surety() + " " + a.report.caution())}
	return (&screen.File{Machine: e.machine, Scene: v.scene, State: state, Answers: a.answers}).HTML(ctx)
}

// writePageFiles writes the page of an engine to each of some files.
func (e *engine) writePageFiles(ctx context.Context, res *solver.Result, outs []string) error {
	if len(outs) == 0 {
		return nil
	}
	b, err := e.pageFile(ctx, res)
	if err != nil {
		return err
	}
	for _, o := range outs {
		if err := replaceFile(ctx, o, b); err != nil {
			return err
		}
	}
	return nil
}
