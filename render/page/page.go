// Package page makes what the page beside the editor shows: the engine's outlines as path data, its positions as numbers,
// its answers, and the page's own parts (HTML, CSS and JavaScript modules), which are embedded. It also puts all of that
// into one file that needs nothing else.
//
// It knows no word of the language: everything in the sketch's own words comes from Words. It knows nothing of serving
// either. Lengths are mm and travels are in the solver's units (mm, rad or a bare number); angles of the turn are
// degrees. In path data y runs down, as in SVG; every other y runs up.
//
// A newcomer may change the page: its modules under assets need no build step, and the tests turn it in a browser.
package page

import (
	"embed"
	"encoding/json"
	"io/fs"
	"math"
)

//go:embed assets
var embedded embed.FS

// Assets are the page's own files: index.html, page.css and the modules.
func Assets() fs.FS {
	sub, err := fs.Sub(embedded, "assets")
	if err != nil {
		panic(err) // the folder is embedded above
	}
	return sub
}

// Number is a figure that may be missing: NaN and the infinities are null.
type Number float64

// MarshalJSON writes null where there is no number.
func (n Number) MarshalJSON() ([]byte, error) {
	if v := float64(n); !math.IsNaN(v) && !math.IsInf(v, 0) {
		return json.Marshal(v)
	}
	return []byte("null"), nil
}

func degrees(rad float64) float64 { return math.Round(rad*(180/math.Pi)*1e9) / 1e9 }

// Radians are degrees of the page as the solver wants them.
func Radians(deg float64) float64 { return deg * (math.Pi / 180) }
