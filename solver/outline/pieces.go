package outline

import "math"

// piecesOf covers loops with convex pieces.
func piecesOf(loops [][]Edge) []Piece {
	var out []Piece
	for _, l := range loops {
		if convex(l) {
			out = append(out, newPiece(l, nil))
		}
	}
	return out
}

// convex reports whether a loop turns left all the way, to rounding.
func convex(loop []Edge) bool {
	last := &loop[len(loop)-1]
	for i := range loop {
		e := &loop[i]
		if e.Turn < 0 {
			return false
		}
		if len(loop) > 1 {
			in, on := last.Tangent(last.B), e.Tangent(e.A)
			if math.Atan2(in.Cross(on), in.Dot(on)) < -smooth {
				return false
			}
		}
		last = e
	}
	return area(loop) > 0
}
