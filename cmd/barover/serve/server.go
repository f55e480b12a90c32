// Package serve gives the page beside the editor to a browser on the same machine, and to nobody else. It has the
// sessions that solve a sketch again at every save, the versions of its engine, and the server that answers for them.
//
// It draws nothing and words nothing: render/page makes what the page shows, and render/report what it says. A newcomer
// may add an inquiry of the page. Change who may ask, and how much is kept for whom, only with a test of its own.
package serve

import (
	"bytes"
	"cmp"
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"net"
	"net/http"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	"golang.org/x/net/netutil"

	screen "barover/render/page"
	"barover/solver"
	"barover/solver/engine"
)

// Limits of the server. A reader that does not read is dropped; one too many waits or is refused.
const (
	mostConnections = 256
	MostFeeds       = 96               // event streams
	mostSolving     = 2                // requests that are solved at one time
	mostHeader      = 16 << 10         // bytes
	toRead          = 10 * time.Second // time limit for the head of a request
	toWrite         = 20 * time.Second // time limit for an answer, or a piece of an event stream
	toIdle          = 2 * time.Minute
	heartbeat       = 15 * time.Second // how often an event stream shows that it is alive
)

// Server serves the page of some sketches to this machine.
type Server struct {
	all     []*Session
	host    string // 127.0.0.1 and the port, as a browser names it
	word    string // the secret word of the address
	solving chan struct{}
	feeds   chan struct{}
	toRead  time.Duration
}

func New(all []*Session, host string) *Server {
	word := make([]byte, 16)
	if _, err := rand.Read(word); err != nil {
		panic(err) // never: crypto/rand ends the program itself
	}
	return &Server{all: all, host: host, word: hex.EncodeToString(word),
		solving: make(chan struct{}, mostSolving), feeds: make(chan struct{}, MostFeeds), toRead: toRead}
}

func (s *Server) Address() string { return "http://" + s.host + "/" + s.word + "/" }

// Serve answers requests until ctx is done.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	h := &http.Server{
		// A time limit for a whole request would end the context of an event stream.
		Handler: s.guarded(s.routes()), ReadHeaderTimeout: s.toRead, IdleTimeout: toIdle, MaxHeaderBytes: mostHeader,
		BaseContext: func(net.Listener) context.Context { return ctx },
	}
	stop := context.AfterFunc(ctx, func() { _ = h.Close() })
	defer stop()
	if err := h.Serve(netutil.LimitListener(l, mostConnections)); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// guarded lets only requests through from a browser on this machine that has the address. It also says what the page may
// do: load what comes from here, and nothing else.
func (s *Server) guarded(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(toWrite))
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "+
			"base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		word, rest, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/"), "/")
		origin, site := r.Header.Get("Origin"), r.Header.Get("Sec-Fetch-Site")
		switch {
		case r.Host != s.host || origin != "" && origin != "http://"+s.host || site != "" && site != "same-origin" && site != "none":
			http.Error(w, "this page is for the machine that it runs on", http.StatusForbidden)
		case r.Method != http.MethodGet && r.Method != http.MethodHead:
			h.Set("Allow", "GET, HEAD")
			http.Error(w, "nothing can be sent here", http.StatusMethodNotAllowed)
		case subtle.ConstantTimeCompare([]byte(word), []byte(s.word)) != 1:
			http.NotFound(w, r)
		default:
			r.URL.Path = "/" + rest
			next.ServeHTTP(w, r)
		}
	})
}

// routes are all routes of the server.
func (s *Server) routes() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) { serveAsset(w, "index.html") })
	entries, err := fs.ReadDir(screen.Assets(), ".")
	if err != nil {
		panic(err) // they are embedded
	}
	for _, e := range entries {
		mux.HandleFunc("GET /"+e.Name(), func(w http.ResponseWriter, r *http.Request) { serveAsset(w, e.Name()) })
	}
	mux.HandleFunc("GET /feed", s.feed)
	mux.HandleFunc("GET /states", s.states)
	for name, f := range map[string]inquiry{"scene": askScene, "motion": askMotion, "curves": askCurves, "pair": askPair, "band": askBand, "near": askNear,
		"sweep": askSweep, "compare": askCompare, "sheet": askSheet, "map": askMap} {
		mux.HandleFunc("GET /"+name, s.answering(f))
	}
	return mux
}

// kinds are the media types of the page's files.
var kinds = map[string]string{".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8"}

func serveAsset(w http.ResponseWriter, name string) {
	b, err := fs.ReadFile(screen.Assets(), name)
	if err != nil {
		http.Error(w, "not there", http.StatusNotFound)
		return
	}
	send(w, kinds[path.Ext(name)], b)
}

func send(w http.ResponseWriter, kind string, b []byte) {
	w.Header().Set("Content-Type", kind)
	if kind == "image/svg+xml" { // a sheet has its styles in itself, and no scripts
		w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'")
	}
	w.Header().Set("Content-Length", strconv.Itoa(len(b)))
	_, _ = w.Write(b) // a client that has gone needs nothing
}

// states is the state of every sketch, as a list.
func (s *Server) states(w http.ResponseWriter, _ *http.Request) {
	list := make([][]byte, len(s.all))
	for i, x := range s.all {
		list[i], _ = x.current()
	}
	send(w, "application/json", slices.Concat([]byte("["), bytes.Join(list, []byte(",")), []byte("]")))
}

// feed is an event stream: the state of each sketch, and again whenever it changes. A slow reader misses states that have
// been replaced, and the server keeps for it no more than what is being sent.
func (s *Server) feed(w http.ResponseWriter, r *http.Request) {
	select {
	case s.feeds <- struct{}{}:
		defer func() { <-s.feeds }()
	default:
		http.Error(w, "too many pages are open", http.StatusServiceUnavailable)
		return
	}
	wake := make(chan struct{}, 1)
	wake <- struct{}{}
	for _, x := range s.all {
		defer x.listen(wake)()
	}
	out := http.NewResponseController(w)
	w.Header().Set("Content-Type", "text/event-stream")
	seen := make([]int, len(s.all))
	alive := time.NewTicker(heartbeat)
	defer alive.Stop()
	for {
		text := ":\n\n"
		select {
		case <-r.Context().Done():
			return
		case <-alive.C:
		case <-wake:
			text = ""
		}
		_ = out.SetWriteDeadline(time.Now().Add(toWrite))
		if _, err := w.Write([]byte(text)); err != nil {
			return
		}
		for i, x := range s.all {
			state, seq := x.current()
			if seq == seen[i] && text == "" && seq > 0 || text != "" {
				continue
			}
			seen[i] = seq
			for _, b := range [][]byte{[]byte("data: "), state, []byte("\n\n")} {
				if _, err := w.Write(b); err != nil {
					return
				}
			}
		}
		if err := out.Flush(); err != nil {
			return
		}
	}
}

// question is what a page asks about one version of a sketch.
type question struct {
	r      *http.Request
	s      *Session
	now, v *version  // the engine of the page, and the one that is asked about
	travel []float64 // of v
	turn   float64   // rad
}

// inquiry answers one kind of question.
type inquiry func(q *question) (kind string, b []byte, err error)

// errAsked says that a question cannot be understood.
var errAsked = errors.New("this is not a question of the page")

// answering reads a question, waits for a free place among those being solved, and answers it.
func (s *Server) answering(f inquiry) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		q, err := s.question(r)
		if err == nil {
			select {
			case s.solving <- struct{}{}:
				defer func() { <-s.solving }()
			case <-r.Context().Done():
				return
			}
			var kind string
			var b []byte
			if kind, b, err = guardedAnswer(f, q); err == nil {
				send(w, kind, b)
				return
			}
		}
		status := http.StatusInternalServerError
		switch {
		case errors.Is(err, errGone):
			status = http.StatusGone
		case errors.Is(err, errAsked):
			status = http.StatusBadRequest
		}
		http.Error(w, err.Error(), status)
	}
}

// guardedAnswer turns a mistake of barover's own into an error, so that the page survives.
func guardedAnswer(f inquiry, q *question) (kind string, b []byte, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("this is a mistake in barover itself, not in the sketch: %v", fault)
		}
	}()
	return f(q)
}

// question reads the query: ?file=0&v=3&of=drawn&turn=54.8&travel=0,3.175.
func (s *Server) question(r *http.Request) (*question, error) {
	form := r.URL.Query()
	q := &question{r: r}
	file, err := q.number("file", len(s.all))
	if err != nil {
		return nil, err
	}
	number, err := strconv.Atoi(form.Get("v"))
	if err != nil {
		return nil, errAsked
	}
	q.s = s.all[file]
	if q.now, err = q.s.at(number, ""); err != nil {
		return nil, err
	}
	if q.v, err = q.s.at(number, form.Get("of")); err != nil {
		return nil, err
	}
	if q.travel, err = q.now.setting(form.Get("travel")); err != nil {
		return nil, err
	}
	if q.v != q.now {
		q.travel = q.v.travel(q.now, q.travel)
	}
	if text := form.Get("turn"); text != "" {
		turn, err := strconv.ParseFloat(text, 64)
		t := q.v.e.Problem.Turn
		if q.turn = screen.Radians(turn); err != nil || !(q.turn >= t.From-1e-6 && q.turn <= t.To+1e-6) && q.v == q.now {
			return nil, errAsked
		}
		q.turn = min(max(q.turn, t.From), t.To)
	}
	return q, nil
}

// setting reads a travel setting: figures in the solver's unit with commas between them; at rest where there is none.
// Each is kept within its range, and on a stop of its list.
func (v *version) setting(text string) ([]float64, error) {
	travels := v.e.Problem.Travels
	out := engine.RestSetting(travels)
	if text == "" {
		return out, nil
	}
	words := strings.Split(text, ",")
	if len(words) != len(out) {
		return nil, errAsked
	}
	for i, w := range words {
		x, err := strconv.ParseFloat(w, 64)
		if err != nil || x != x {
			return nil, errAsked
		}
		t := &travels[i]
		if !t.Range {
			x = nearestOf(t.Settings, x, t.Rest)
		} else {
			x = min(max(x, t.From), t.To)
		}
		out[i] = x
	}
	return out, nil
}

func nearestOf(stops []float64, x, other float64) float64 {
	best := other
	for i, s := range stops {
		if i == 0 || math.Abs(s-x) < math.Abs(best-x) {
			best = s
		}
	}
	return best
}

// profiles are two profiles of the engine: ?a=3&b=7.
func (q *question) profiles() (a, b int, err error) {
	n := len(q.v.e.Problem.Profiles)
	a, errA := q.number("a", n)
	b, errB := q.number("b", n)
	return a, b, cmp.Or(errA, errB)
}

// number returns a number of the query, from 0 to n-1.
func (q *question) number(name string, n int) (int, error) {
	v, err := strconv.Atoi(q.r.URL.Query().Get(name))
	if err != nil || v < 0 || v >= n {
		return 0, errAsked
	}
	return v, nil
}

func inJSON(x any, err error) (string, []byte, error) {
	if err != nil {
		return "", nil, err
	}
	b, err := json.Marshal(x)
	return "application/json", b, err
}

func askScene(q *question) (string, []byte, error) { return inJSON(q.v.scene, nil) }

func askMotion(q *question) (string, []byte, error) {
	b, err := q.v.kept(fmt.Sprint("motion ", q.travel), func() ([]byte, error) {
		mo, err := screen.Follow(q.r.Context(), q.v.e.Machine, q.travel)
		if err != nil {
			return nil, err
		}
		return mo.Bytes(), nil
	})
	return "application/octet-stream", b, err
}

func askCurves(q *question) (string, []byte, error) {
	done := q.v.done.Load()
	if done == nil {
		return "", nil, errGone
	}
	b, err := q.v.kept("curves", func() ([]byte, error) { return screen.Curves(q.r.Context(), q.v.e.Machine, done.answers) })
	return "application/octet-stream", b, err
}

func askPair(q *question) (string, []byte, error) {
	a, b, err := q.profiles()
	if err != nil {
		return "", nil, err
	}
	return inJSON(screen.NewPair(q.r.Context(), q.v.e.Machine, a, b, q.travel))
}

// askBand is the band of the clearance of two profiles, from the worst engine to the best: ?a=3&b=7&most=12.5.
func askBand(q *question) (string, []byte, error) {
	a, b, err := q.profiles()
	most, bad := strconv.ParseFloat(q.r.URL.Query().Get("most"), 64)
	if err != nil || bad != nil || !(most > 0 && most < 1e9) {
		return "", nil, errAsked
	}
	within, err := q.v.within(q.r.Context())
	if err != nil {
		return "", nil, err
	}
	return inJSON(screen.NewBand(q.r.Context(), within, a, b, q.travel, most))
}

func askNear(q *question) (string, []byte, error) {
	a, b, err := q.profiles()
	if err != nil {
		return "", nil, err
	}
	return inJSON(screen.At(q.r.Context(), q.v.e.Machine, a, b, q.turn, q.travel))
}

func askSweep(q *question) (string, []byte, error) {
	b, err := q.v.kept(fmt.Sprint("sweep ", q.travel), func() ([]byte, error) {
		_, b, err := inJSON(screen.Swept(q.r.Context(), q.v.e.Machine, q.v.pick, q.travel), q.r.Context().Err())
		return b, err
	})
	return "application/json", b, err
}

// askCompare is what came out differently against another engine.
func askCompare(q *question) (string, []byte, error) {
	now := q.now.done.Load()
	if now == nil || q.v == q.now {
		return "", nil, errGone
	}
	was, err := q.v.answered(q.r.Context())
	if err != nil {
		return "", nil, err
	}
	return inJSON(screen.Changes(was.answers, now.answers, q.v.scene.Dims, q.now.scene.Dims), nil)
}

func askSheet(q *question) (string, []byte, error) {
	done := q.v.done.Load()
	if done == nil {
		return "", nil, errGone
	}
	b, err := q.v.sheetAt(q.r.Context(), done, solver.Position{Turn: q.turn, Travel: q.travel})
	return "image/svg+xml", b, err
}
