package bench

import (
	"context"
	"crypto/subtle"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"

	"rackwright/pack"
)

// Fit searches for places of the boxes that are not pinned, until ctx ends. It tells what it
// does in words. A layout is returned with words on it, or why there is none.
type Fit func(ctx context.Context, problem pack.Problem, told func(string)) (pack.Layout, string, error)

// Server shows a desk to pages. Make it with NewServer.
type Server struct {
	desk  *Desk
	host  string // that the pages ask, such as 127.0.0.1:8080
	token string
	fit   Fit
	files Files

	mu        sync.Mutex
	listeners map[chan event]bool
	stop      context.CancelFunc // of the search that is under way; nil for none
	saving    sync.Mutex
}

// event is told to all pages.
type event struct {
	name string
	data any
}

// mostBody is how many bytes a request may have.
const mostBody = 1 << 20

// waiting is how many events a page may be behind before it misses some.
const waiting = 64

// retry is after how many ms a page takes up a stream again that was cut: before it says so.
const retry = 500

// NewServer makes a server for pages that ask a host, with a token that nobody else knows.
func NewServer(desk *Desk, host, token string, fit Fit, files Files) *Server {
	return &Server{desk: desk, host: host, token: token, fit: fit, files: files, listeners: map[chan event]bool{}}
}

// Handler answers the pages. ctx ends what is under way.
func (s *Server) Handler(ctx context.Context) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.page)
	mux.HandleFunc("GET /script.js", s.script)
	mux.HandleFunc("GET /events", func(w http.ResponseWriter, r *http.Request) { s.events(ctx, w, r) })
	mux.HandleFunc("POST /moves", act(s, func(_ context.Context, m []Move) error { return s.desk.Moves(m) }))
	mux.HandleFunc("POST /turn", act(s, func(_ context.Context, t turned) error { return s.desk.Reorient(t.Box, t.Number, t.How) }))
	mux.HandleFunc("POST /pin", act(s, func(_ context.Context, t turned) error { return s.desk.Pin(t.Box, t.Number) }))
	mux.HandleFunc("POST /undo", act(s, func(context.Context, struct{}) error { s.desk.Undo(); return nil }))
	mux.HandleFunc("POST /redo", act(s, func(context.Context, struct{}) error { s.desk.Redo(); return nil }))
	mux.HandleFunc("POST /save", act(s, func(context.Context, struct{}) error { return s.locked(func() error { return s.store(Ask) }) }))
	mux.HandleFunc("POST /answer", act(s, func(_ context.Context, c Choice) error { return s.choose(ctx, c) }))
	mux.HandleFunc("POST /fit", act(s, func(context.Context, struct{}) error { return s.startFit(ctx) }))
	mux.HandleFunc("POST /stop", act(s, func(context.Context, struct{}) error { s.stopFit(); return nil }))
	mux.HandleFunc("GET /scene", s.scene)
	mux.HandleFunc("POST /shape", act(s, s.reshape))
	mux.HandleFunc("POST /straighten", s.straighten)
	return s.guarded(mux)
}

// turned is a box and what is to be done with it.
type turned struct {
	Box    string `json:"box"`
	Number int    `json:"number"`
	How    Change `json:"how"`
}

// guarded lets only this computer's own pages in, which know the token.
func (s *Server) guarded(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		origin, token := r.Header.Get("Origin"), r.Header.Get("X-Token")
		if r.Method == http.MethodGet {
			token = r.URL.Query().Get("token")
		}
		switch {
		case r.Host != s.host:
			http.Error(w, "this address is not the one that the bench is at", http.StatusForbidden)
		case origin != "" && origin != "http://"+s.host:
			http.Error(w, "another page may not ask the bench", http.StatusForbidden)
		case subtle.ConstantTimeCompare([]byte(token), []byte(s.token)) != 1:
			http.Error(w, "the token is missing or another one: open the address that rackwright bench printed", http.StatusForbidden)
		case r.ContentLength > mostBody:
			http.Error(w, "this is too much", http.StatusRequestEntityTooLarge)
		default:
			r.Body = http.MaxBytesReader(w, r.Body, mostBody)
			w.Header().Set("Cache-Control", "no-store")
			w.Header().Set("Referrer-Policy", "no-referrer")
			w.Header().Set("X-Content-Type-Options", "nosniff")
			next.ServeHTTP(w, r)
		}
	})
}

// act reads what is asked as JSON, does it, and answers with the state; all pages are told.
func act[T any](s *Server, do func(context.Context, T) error) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		var asked T
		if err := json.NewDecoder(r.Body).Decode(&asked); err != nil {
			status := http.StatusBadRequest
			if big := new(http.MaxBytesError); errors.As(err, &big) {
				status = http.StatusRequestEntityTooLarge
			}
			http.Error(w, "this cannot be read: "+err.Error(), status)
			return
		}
		status := http.StatusOK
		if err := do(r.Context(), asked); errors.As(err, new(*ChangedError)) {
			status = http.StatusConflict // the state has the question
		} else if err != nil {
			http.Error(w, err.Error(), http.StatusUnprocessableEntity)
			return
		}
		state, err := s.desk.State()
		if err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
			return
		}
		s.tell(event{"state", state})
		w.Header().Set("Content-Type", "application/json")
		w.WriteHeader(status)
		_ = json.NewEncoder(w).Encode(state) // whoever asked may be gone
	}
}

// locked does something while nothing else is saved or read.
func (s *Server) locked(do func() error) error {
	s.saving.Lock()
	defer s.saving.Unlock()
	return do()
}

// ErrSearching is returned while a search is under way already.
var ErrSearching = errors.New("a search is under way already")

// startFit begins a search for the boxes that are not pinned.
func (s *Server) startFit(ctx context.Context) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.stop != nil {
		return ErrSearching
	}
	scene := s.desk.Scene()
	problem, _ := s.desk.Layout()
	for i, pin := range problem.Pins {
		before := problem.WithPins(slices.Clone(problem.Pins[:i]))
		if faults := before.CheckPin(pin); len(faults) > 0 {
			return fmt.Errorf("nothing can be fitted round this pin: %s", faults[0].Text)
		}
	}
	ctx, s.stop = context.WithCancel(ctx)
	go s.search(ctx, problem, scene)
	return nil
}

func (s *Server) search(ctx context.Context, problem pack.Problem, scene int) {
	s.tell(event{"search", "looking for places …"})
	found, words, err := s.fit(ctx, problem, func(text string) { s.tell(event{"search", text}) })
	s.mu.Lock()
	s.stop()
	s.stop = nil
	s.mu.Unlock()
	if err != nil {
		words = err.Error()
	}
	if err == nil && !s.desk.Replace(found, scene, words) {
		words = "The frame or the pack is another now: what was found for the one before is left."
	}
	s.tell(event{"searched", words})
	s.tellState()
}

func (s *Server) stopFit() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.stop != nil {
		s.stop()
	}
}

// tell sends an event to all pages. One that is far behind misses the oldest: a later state holds
// all that is in one before.
func (s *Server) tell(e event) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for c := range s.listeners {
		if len(c) == cap(c) {
			select {
			case <-c:
			default:
			}
		}
		c <- e // there is room: this alone sends, one at a time
	}
}

// events streams to one page what happens (server-sent events, WHATWG HTML, section 9.2).
func (s *Server) events(ctx context.Context, w http.ResponseWriter, r *http.Request) {
	flush, ok := w.(http.Flusher)
	if !ok {
		http.Error(w, "no stream", http.StatusInternalServerError)
		return
	}
	c := make(chan event, waiting)
	s.mu.Lock()
	s.listeners[c] = true
	searching := s.stop != nil
	s.mu.Unlock()
	defer func() {
		s.mu.Lock()
		delete(s.listeners, c)
		s.mu.Unlock()
	}()
	w.Header().Set("Content-Type", "text/event-stream")
	fmt.Fprintf(w, "retry: %d\n\n", retry)
	if state, err := s.desk.State(); err == nil {
		write(w, event{"state", state})
	}
	if searching {
		write(w, event{"search", "looking for places …"})
	}
	flush.Flush()
	for {
		select {
		case <-ctx.Done():
			return
		case <-r.Context().Done():
			return
		case e := <-c:
			write(w, e)
			flush.Flush()
		}
	}
}

func write(w http.ResponseWriter, e event) {
	data, err := json.Marshal(e.data)
	if err != nil {
		return
	}
	fmt.Fprintf(w, "event: %s\ndata: %s\n\n", e.name, data)
}

func (s *Server) script(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	_, _ = strings.NewReader(bundleJS).WriteTo(w) // whoever asked may be gone
}
