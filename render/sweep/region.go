package sweep

import (
	"math"

	"barover/solver/outline"
)

// Of returns the pieces of a region. A bore that is small beside its piece is left filled, since what moves past it, or
// the pin in it, fills it on paper too.
func Of(r *outline.Region) []Piece {
	var out []Piece
	for i := range r.Pieces {
		p := &r.Pieces[i]
		piece := Piece{Marks: whole(p)}
		if b := p.Bite; b != nil && (b.R > p.Radius/2 || b.C.Sub(p.Centre).Len()+b.R > p.Radius) {
			piece.Bite = Disc(b.C, b.R)
		}
		out = append(out, piece)
	}
	return out
}

// whole returns the marks of a piece, its bite left out of account.
func whole(p *outline.Piece) []Mark {
	var out []Mark
	round := 0.0
	for _, e := range p.Loop {
		if e.R > 0 && e.C == p.Loop[0].C {
			round += e.Turn
		}
	}
	if round >= 2*math.Pi-1e-9 {
		return []Mark{Disc(p.Loop[0].C, p.Loop[0].R)}
	}
	for _, e := range p.Loop {
		out = append(out, Mark{C: e.A})
		if e.R > 0 {
			d := e.A.Sub(e.C)
			out = append(out, Mark{e.C, e.R, math.Atan2(d.Y, d.X), e.Turn})
		}
	}
	return out
}
