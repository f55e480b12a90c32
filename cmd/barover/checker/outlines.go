package checker

import (
	"fmt"
	"math"
	"math/cmplx"
)

// bar is the outline of a rod from its origin to u = long: straight bars, tapers, big ends, webs with arcs and holes.
func (d *drawer) bar(long float64) []shape {
	w := d.mm(d.between(2, 12))
	far := complex(long, 0)
	kind := d.rng.IntN(7)
	if d.convex {
		kind = [3]int{0, 1, 3}[d.rng.IntN(3)]
	}
	switch kind {
	case 0:
		return []shape{strip(far, w, d.mm(d.between(2, 12)), false)}
	case 1:
		return []shape{strip(far, w, w, true)}
	case 2:
		return []shape{strip(far, w, w, false), disc(far, d.mm(d.between(4, 9)))}
	case 3:
		return []shape{path(d.zz(complex(-3, -4)), complex(long, -w/2), complex(long+w, 0), complex(long/2, w))}
	case 4:
		a, b := complex(0, w/2), complex(long, w/2)
		return []shape{dee(b, a, d.mm(d.between(0.6, 3)*long/d.Scale))}
	case 5:
		return []shape{strip(far, w, w, true), hole(disc(complex(d.mm(d.between(0.2, 0.8)*long/d.Scale), 0), d.mm(d.between(0.5, 7))))}
	}
	return []shape{strip(far, w, w, false), hole(box(complex(long/2, -w), complex(long+w, d.mm(d.between(-1, 1)))))}
}

// post is the outline of an obstacle at a place: a pin, a block, a wedge, a piece of a ring.
func (d *drawer) post(z complex128) []shape {
	r := d.mm(d.hair(0.2, 8))
	at := func(h, k float64) complex128 { return z + d.zz(cmplx.Rect(h*r/d.Scale, k)) }
	from := d.between(0, 6)
	kind := d.rng.IntN(10)
	if d.convex {
		kind = d.rng.IntN(4)
	}
	switch kind {
	case 0, 1, 6, 7, 8:
		return []shape{disc(z, r)}
	case 2:
		return []shape{box(z-complex(r, d.mm(d.between(0.3, 6))), z+complex(r, d.mm(d.between(0.3, 6))))}
	case 3:
		return []shape{path(at(1, from), at(1, from+d.between(1, 2.5)), at(d.between(1, 5), from+4))}
	case 4:
		a, b := at(1, from), at(1, from+2.6)
		return []shape{dee(a, b, d.mm(d.between(1.05, 4)*r/d.Scale))}
	case 5:
		return []shape{curved(z, r, d.mm(d.between(1.2, 3)*r/d.Scale), from, d.between(0.3, 2.5))}
	}
	return []shape{disc(z, r), hole(disc(at(0.4, from), d.mm(d.between(0.1, 0.9)*r/d.Scale)))}
}

// among asks that a profile keeps clear of a post of the frame beside each of some points: on its way, or a little or
// much off it. The posts are set when the linkage is complete.
func (d *drawer) among(profile int, near ...int) {
	for _, i := range near {
		d.posts = append(d.posts, [2]int{profile, i})
	}
}

// barred gives a part the outline of a rod, and asks that it keeps clear of a post beside each of some points.
func (d *drawer) barred(part int, name string, long float64, near ...int) int {
	bar := d.profile(part, name, 0, 5, d.bar(long)...)
	d.among(bar, near...)
	return bar
}

// setPosts adds the posts of all that is to be kept clear.
func (d *drawer) setPosts(t *Truth) {
	for _, q := range d.posts {
		k := d.profile(0, fmt.Sprintf("post%d", len(d.profiles)), 0, 5, d.post(d.beside(t, q[1]))...)
		d.pairs = append(d.pairs, [2]int{q[0], k})
	}
}

// beside is a place of the frame that a point goes by.
func (d *drawer) beside(t *Truth, i int) complex128 {
	f := t.fields[d.rng.IntN(len(t.fields))]
	z := f.poses[d.rng.IntN(len(f.poses))].Points[i]
	off := d.hair(1e-2, 20) + d.between(0, 12)
	return d.zz(z/complex(d.Scale, 0) + cmplx.Rect(off, d.between(0, 2*math.Pi)))
}
