package bench_test

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"rackwright/export/bench"
	"rackwright/pack"
)

const token = "the token"

// served is a bench with a search and files of the test's own.
type served struct {
	*httptest.Server
	bench *bench.Server
	desk  *bench.Desk
	files *shelf
	took  chan pack.Layout // what was saved
}

func serve(t testing.TB, fit bench.Fit) served {
	p, l := trail(t)
	text, err := os.ReadFile("../../testdata/trail/frame.yaml")
	require.NoError(t, err)
	s := served{took: make(chan pack.Layout, 10)}
	s.files = &shelf{work: bench.Work{Frame: text, Problem: p, Layout: l}, took: s.took}
	s.desk = bench.NewDesk(s.files.work, true)
	s.Server = newServer(t, func(host string) *bench.Server {
		s.bench = bench.NewServer(s.desk, host, token, fit, s.files)
		return s.bench
	})
	return s
}

// newServer starts what is made for its host.
func newServer(t testing.TB, made func(host string) *bench.Server) *httptest.Server {
	s := httptest.NewUnstartedServer(nil)
	ctx, stop := context.WithCancel(context.Background())
	s.Config.Handler = made(s.Listener.Addr().String()).Handler(ctx)
	s.Start()
	t.Cleanup(func() { stop(); s.CloseClientConnections(); s.Close() })
	return s
}

func (s served) ask(t testing.TB, path, body string, change func(*http.Request)) (int, string) {
	r, err := http.NewRequest(http.MethodPost, s.URL+path, strings.NewReader(body))
	require.NoError(t, err)
	r.Header.Set("X-Token", token)
	if change != nil {
		change(r)
	}
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	return answer.StatusCode, string(text)
}

func TestOnlyItsOwnPagesGetIn(t *testing.T) {
	s := serve(t, nil)
	status, _ := s.ask(t, "/undo", "{}", nil)
	require.Equal(t, http.StatusOK, status)
	for name, change := range map[string]func(*http.Request){
		"another host":   func(r *http.Request) { r.Host = "bench.example" }, // as DNS rebinding asks
		"another origin": func(r *http.Request) { r.Header.Set("Origin", "http://elsewhere.example") },
		"no token":       func(r *http.Request) { r.Header.Del("X-Token") },
		"another token":  func(r *http.Request) { r.Header.Set("X-Token", "a guess") },
	} {
		status, _ := s.ask(t, "/pin", `{"box":"block","number":1}`, change)
		require.Equal(t, http.StatusForbidden, status, name)
	}
	_, l := s.desk.Layout()
	require.False(t, l.Placements[0].Pinned, "nothing was done")
	for _, path := range []string{"/", "/events", "/script.js", "/scene"} {
		answer, err := http.Get(s.URL + path)
		require.NoError(t, err)
		answer.Body.Close()
		require.Equal(t, http.StatusForbidden, answer.StatusCode, path)
	}
}

// noise is a body without an end in sight.
type noise struct{ left int }

func (n *noise) Read(b []byte) (int, error) {
	if n.left <= 0 {
		return 0, io.EOF
	}
	for i := range b {
		b[i] = ' '
	}
	n.left -= len(b)
	return len(b), nil
}

func TestTooMuchIsRefused(t *testing.T) {
	s := serve(t, nil)
	for _, said := range []int64{100 << 20, -1} { // with its length said, and in pieces
		r := httptest.NewRequest(http.MethodPost, "/moves", &noise{100 << 20})
		r.Host, r.ContentLength = s.Listener.Addr().String(), said
		r.Header.Set("X-Token", token)
		w := httptest.NewRecorder()
		s.Config.Handler.ServeHTTP(w, r)
		require.Equal(t, http.StatusRequestEntityTooLarge, w.Code)
	}
}

// events reads the stream of a page.
func (s served) events(t *testing.T) <-chan [2]string {
	answer, err := http.Get(s.URL + "/events?token=" + strings.ReplaceAll(token, " ", "%20"))
	require.NoError(t, err)
	t.Cleanup(func() { answer.Body.Close() })
	c := make(chan [2]string, 100)
	go func() {
		defer close(c)
		name := ""
		lines := bufio.NewScanner(answer.Body)
		lines.Buffer(nil, 1<<20)
		for lines.Scan() {
			if n, ok := strings.CutPrefix(lines.Text(), "event: "); ok {
				name = n
			} else if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				c <- [2]string{name, data}
			}
		}
	}()
	return c
}

// patience is how long a test waits for what has to come: far more than it takes on the slowest machine.
const patience = 5 * time.Minute

func next(t *testing.T, c <-chan [2]string, name string) string {
	late := time.After(patience)
	for {
		select {
		case e, ok := <-c:
			require.True(t, ok, "the stream ended")
			if e[0] == name {
				return e[1]
			}
		case <-late:
			require.Fail(t, "no event "+name)
		}
	}
}

// Two pages at once: what one does, both are told, in the same revision.
func TestTwoPages(t *testing.T) {
	s := serve(t, nil)
	a, b := s.events(t), s.events(t)
	first := next(t, a, "state")
	require.Equal(t, first, next(t, b, "state"))
	status, text := s.ask(t, "/turn", `{"box":"block","number":3,"how":"turn"}`, nil)
	require.Equal(t, http.StatusOK, status)
	require.Equal(t, strings.TrimSpace(text), next(t, a, "state"))
	require.Equal(t, strings.TrimSpace(text), next(t, b, "state"))
}

// Two pages drag different boxes at once, and a third undoes and changes the frame: no move is lost,
// and a page is told how it ends.
func TestTwoPagesAtOnce(t *testing.T) {
	s := serve(t, nil)
	page := s.events(t)
	var busy sync.WaitGroup
	for box := 1; box <= 2; box++ {
		busy.Go(func() {
			for i := range 50 {
				status, words := s.ask(t, "/moves", fmt.Sprintf(`[{"box":"block","number":%d,"centre":[%d,5,100],"begins":%t}]`, box, 100*box+i, i == 0), nil)
				assert.Equal(t, http.StatusOK, status, words)
			}
		})
	}
	busy.Go(func() {
		for range 5 {
			s.reshapeCradle(t)
			s.ask(t, "/undo", "{}", nil)
			s.ask(t, "/redo", "{}", nil)
		}
	})
	busy.Wait()
	require.Equal(t, 100, state(t, s.desk).Moves)
	last := state(t, s.desk).Revision
	for now := (bench.State{}); now.Revision < last; {
		require.NoError(t, json.Unmarshal([]byte(next(t, page, "state")), &now))
	}
}

// The rest is fitted round the pins, with words on the way, and can be stopped and taken back.
func TestFitTheRest(t *testing.T) {
	var pins []pack.Placement
	s := serve(t, func(ctx context.Context, p pack.Problem, told func(string)) (pack.Layout, string, error) {
		pins = p.Pins
		told("half way")
		<-ctx.Done()
		_, l := trail(t)
		l.Placements[4].Centre.Z = 250
		return l, "fitted", nil
	})
	page := s.events(t)
	status, _ := s.ask(t, "/pin", `{"box":"block","number":1}`, nil)
	require.Equal(t, http.StatusOK, status)
	status, text := s.ask(t, "/fit", `{}`, nil)
	require.Equal(t, http.StatusOK, status, text)
	next(t, page, "search")
	require.Equal(t, `"half way"`, next(t, page, "search"))
	status, text = s.ask(t, "/fit", `{}`, nil)
	require.Equal(t, http.StatusUnprocessableEntity, status)
	require.Contains(t, text, "under way")
	s.ask(t, "/stop", `{}`, nil)
	require.Equal(t, `"fitted"`, next(t, page, "searched"))
	require.Len(t, pins, 1)
	_, l := s.desk.Layout()
	require.Equal(t, 250.0, l.Placements[4].Centre.Z)
	require.True(t, l.Placements[0].Pinned, "pins stay")
	s.ask(t, "/undo", `{}`, nil)
	_, l = s.desk.Layout()
	require.Equal(t, 248.0, l.Placements[4].Centre.Z)
}

// The script is made of the sources as they are: those that the report's was made of, which a test
// of package page looks at.
func TestScriptIsUpToDate(t *testing.T) {
	made := func(path string) string {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		_, hash, _ := strings.Cut(string(text), "Made from sources ")
		return hash
	}
	require.NotEmpty(t, made("bundle.js"))
	require.Equal(t, made("../page/bundle.js"), made("bundle.js"))
}

func TestSave(t *testing.T) {
	s := serve(t, nil)
	_, text := s.ask(t, "/turn", `{"box":"block","number":3,"how":"turn"}`, nil)
	var now bench.State
	require.NoError(t, json.Unmarshal([]byte(text), &now))
	require.True(t, now.Unsaved)
	_, text = s.ask(t, "/save", `{}`, nil)
	require.NoError(t, json.Unmarshal([]byte(text), &now))
	require.False(t, now.Unsaved)
	_, l := s.desk.Layout()
	require.Equal(t, l, <-s.took)

	for err, want := range map[error]int{
		fmt.Errorf("wrapped: %w", &bench.ChangedError{Names: []string{"layout.yaml"}}): http.StatusConflict,
		errors.New("no space left on device"):                                          http.StatusUnprocessableEntity,
	} {
		s := serve(t, nil)
		s.files.fail = err
		s.ask(t, "/turn", `{"box":"block","number":3,"how":"turn"}`, nil)
		status, text := s.ask(t, "/save", `{}`, nil)
		require.Equal(t, want, status)
		require.True(t, state(t, s.desk).Unsaved)
		if want == http.StatusConflict {
			require.Contains(t, state(t, s.desk).Question.Words, "layout.yaml was changed elsewhere")
			require.Contains(t, text, "layout.yaml was changed elsewhere", "in the state that is answered")
		} else {
			require.Contains(t, text, err.Error())
		}
	}
}
