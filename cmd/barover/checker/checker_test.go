package checker

import (
	"go/parser"
	"go/token"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
)

// TestSharesNothing makes sure that the checker imports nothing of what it checks.
func TestSharesNothing(t *testing.T) {
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		parsed, err := parser.ParseFile(token.NewFileSet(), f.Name(), nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range parsed.Imports {
			if strings.HasPrefix(i.Path.Value, `"barover/`) {
				t.Errorf("%s imports %s", f.Name(), i.Path.Value)
			}
		}
	}
}

// TestAgainstLibrary holds distances and depths of random outlines against a general-purpose geometry library.
func TestAgainstLibrary(t *testing.T) {
	const pairs = 200
	rng := rand.New(rand.NewPCG(1, 1))
	d := &drawer{Sketch: newSketch(1, 0), rng: rng}
	apart, over, deep := 0, 0, 0
	for range pairs {
		at := cmplx.Rect(d.between(0, 40), d.between(0, 7))
		turn := cmplx.Rect(1, d.between(0, 7))
		d.parts = append(d.parts[:1], part{name: "arm",
			origin: func(*Pose) complex128 { return at }, direction: func(*Pose) complex128 { return turn }})
		d.profiles = nil
		i := d.profile(0, "post", 0, 5, d.post(0)...)
		j := d.profile(1, "bar", 0, 5, d.bar(40)...)
		p := &Pose{}
		switch s := d.signed(p, i, j); {
		case s.D > 0:
			apart++
		case s.Depth:
			deep++
		default:
			over++
		}
		if doubt := d.Doubt(p, i, j); doubt != "" {
			t.Errorf("%s\n%s", doubt, d.Text())
		}
	}
	t.Logf("%d apart, %d overlapping of known depth, %d of unknown depth", apart, deep, over)
	if apart < pairs/5 || over < pairs/20 || deep < pairs/20 {
		t.Error("too few of one kind")
	}
}

// TestSliderCrank holds the least of a slider-crank's stroke, its rates and its descent against closed forms.
func TestSliderCrank(t *testing.T) {
	const throw, rod = 20.0, 70.0
	s := newSketch(1, 0)
	turn := s.turn(30, 390, 5)
	shaft := s.at("shaft", 0)
	pin := s.arm("pin", shaft, throw, turn, math.Pi/6)
	w := s.line("bore", shaft, degrees(0))
	y := throw * math.Sin(math.Pi/6)
	end := s.find("end", complex(throw*math.Cos(math.Pi/6)+math.Sqrt(rod*rod-y*y), 0), 0)
	s.length(pin, end, constant(rod))
	s.slide(end, w)
	truth, err := s.solve()
	if err != nil {
		t.Fatal(err)
	}
	x := s.abscissa(end)
	if l := truth.lowest(x).V; math.Abs(l-(rod-throw)) > 1e-9 {
		t.Errorf("dead centre at %.12g, want %g", l, rod-throw)
	}
	v := s.rate(x)
	for _, p := range truth.fields[0].poses {
		sin, cos := math.Sincos(p.Turn)
		want := -throw*sin - throw*throw*sin*cos/math.Sqrt(rod*rod-throw*throw*sin*sin)
		if got := v.Of(p); math.Abs(got-want) > 1e-6 {
			t.Fatalf("rate %.9g at %g, want %.9g", got, p.Turn, want)
		}
	}
	// It is below 60 where cos θ is below what the law of cosines gives.
	f := truth.fields[0]
	at, ok := s.below(f, nil, func(p *Pose) float64 { return x.Of(p) - 60 })
	want := math.Acos((60*60 + throw*throw - rod*rod) / (2 * 60 * throw))
	if !ok || len(at) != 1 || math.Abs(at[0].From-want) > 1e-9 || math.Abs(at[0].To-(2*math.Pi-want)) > 1e-9 {
		t.Errorf("below 60 over %v, want %g to %g", at, want, 2*math.Pi-want)
	}
}

// TestLess takes stretches from stretches.
func TestLess(t *testing.T) {
	got := less([]Span{{0, 4}, {6, 9}}, []Span{{1, 2}, {3, 7}})
	want := []Span{{0, 1}, {2, 3}, {7, 9}}
	if len(got) != len(want) {
		t.Fatalf("%v, want %v", got, want)
	}
	for i := range got {
		if got[i] != want[i] {
			t.Errorf("%v, want %v", got, want)
		}
	}
}
