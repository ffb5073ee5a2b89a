package bench_test

import (
	"bytes"
	"context"
	"net/http"
	"strconv"
	"strings"
	"testing"

	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"

	"rackwright/export/bench"
	"rackwright/pack"
)

var (
	layoutPart = bench.Parts{Layout: true}
	framePart  = bench.Parts{Frame: true}
	packPart   = bench.Parts{Pack: true}
)

func moveFirst(w *bench.Work) { w.Layout.Placements[0].Centre.X = 300 }

func widen(w *bench.Work) {
	w.Frame = bytes.Replace(w.Frame, []byte("[-105, 115]"), []byte("[-101, 115]"), 1)
}

func (s served) turn(t *testing.T) {
	status, _ := s.ask(t, "/turn", `{"box":"block","number":3,"how":"turn"}`, nil)
	require.Equal(t, http.StatusOK, status)
}

func (s served) across(t *testing.T) float64 {
	return s.shapeOf(t, "the opening").Sizes[0].MM
}

func (s served) reshapeCradle(t *testing.T) {
	status, words := s.ask(t, "/shape", `{"list":"rails","index":1,"points":[[20,95,-24],[300,90,-24]],"sizes":[{"mm":25}]}`, nil)
	require.Equal(t, http.StatusOK, status, words)
}

// What was changed in an editor and not here is read again, without a question: the layout, the
// frame without the layout, and the layout while corners are moved here. Undo brings back what was.
func TestOutsideEditIsReadAgain(t *testing.T) {
	s := serve(t, nil)
	page := s.events(t)
	next(t, page, "state")
	s.files.elsewhere(layoutPart, moveFirst)
	s.bench.FilesChanged(context.Background())
	_, l := s.desk.Layout()
	require.Equal(t, 300.0, l.Placements[0].Centre.X)
	require.Contains(t, next(t, page, "state"), "read again")
	require.False(t, state(t, s.desk).Unsaved)
	require.True(t, s.desk.Undo())
	require.True(t, state(t, s.desk).Unsaved)
	require.True(t, s.desk.Redo())

	s.turn(t) // not saved
	_, before := s.desk.Layout()
	s.files.elsewhere(framePart, widen)
	s.bench.FilesChanged(context.Background())
	require.Equal(t, -101.0, s.across(t))
	_, l = s.desk.Layout()
	require.Equal(t, before.Placements, l.Placements, "boxes stay where they are")
	require.True(t, state(t, s.desk).Unsaved)
	require.Nil(t, state(t, s.desk).Question)

	s = serve(t, nil)
	s.reshapeCradle(t)
	s.files.elsewhere(layoutPart, moveFirst)
	s.bench.FilesChanged(context.Background())
	require.Nil(t, state(t, s.desk).Question)
	require.Equal(t, 90.0, s.shapeOf(t, "cradle").Points[1][1], "what was moved here stays")
	require.True(t, s.desk.Undo())
	require.True(t, s.desk.Undo())
	require.Equal(t, 95.0, s.shapeOf(t, "cradle").Points[1][1])
}

// What was changed in both places is asked, with each of the answers.
func TestOutsideEditIsAsked(t *testing.T) {
	asked := func(t *testing.T) served {
		s := serve(t, nil)
		s.turn(t)
		s.files.elsewhere(layoutPart, moveFirst)
		s.bench.FilesChanged(context.Background())
		q := state(t, s.desk).Question
		require.NotNil(t, q)
		require.True(t, q.Theirs)
		require.Contains(t, q.Words, "layout.yaml was changed elsewhere")
		require.Equal(t, "my-layout.yaml", q.Beside)
		_, l := s.desk.Layout()
		require.Equal(t, 117.0, l.Placements[0].Centre.X, "the desk is as it was")
		return s
	}
	answer := func(s served, choice string) {
		status, words := s.ask(t, "/answer", `"`+choice+`"`, nil)
		require.Equal(t, http.StatusOK, status, words)
		require.Nil(t, state(t, s.desk).Question)
	}

	s := asked(t)
	_, mine := s.desk.Layout()
	answer(s, "theirs")
	_, l := s.desk.Layout()
	require.Equal(t, 300.0, l.Placements[0].Centre.X)
	require.True(t, s.desk.Undo(), "mine can be had back")
	_, l = s.desk.Layout()
	require.Equal(t, mine.Placements, l.Placements)

	for _, how := range []bench.Choice{bench.Beside, bench.Over} {
		s = asked(t)
		answer(s, string(how))
		require.Equal(t, how, s.files.how)
		require.False(t, state(t, s.desk).Unsaved)
	}

	s = asked(t)
	status, _ := s.ask(t, "/answer", `"whatever"`, nil)
	require.Equal(t, http.StatusUnprocessableEntity, status)
	require.NotNil(t, state(t, s.desk).Question)
	s.files.elsewhere(bench.Parts{}, func(*bench.Work) {}) // as it was again
	s.bench.FilesChanged(context.Background())
	require.Nil(t, state(t, s.desk).Question)

	s = serve(t, nil)
	s.reshapeCradle(t)
	s.files.elsewhere(framePart, widen)
	s.bench.FilesChanged(context.Background())
	require.Contains(t, state(t, s.desk).Question.Words, "frame.yaml")
	require.Equal(t, -105.0, s.across(t))
	answer(s, "theirs")
	require.Equal(t, -101.0, s.across(t))
	require.Equal(t, 95.0, s.shapeOf(t, "cradle").Points[1][1])
}

// A pack that is changed elsewhere is that of all steps before; boxes that it no longer has leave
// the bench.
func TestPackChangedElsewhere(t *testing.T) {
	s := serve(t, nil)
	s.reshapeCradle(t)
	heavier := func(w *bench.Work) {
		p := *w.Problem.Pack
		p.Kinds = append([]pack.Kind{}, p.Kinds...)
		p.Kinds[0].Mass++
		w.Problem.Pack = &p
	}
	s.files.elsewhere(packPart, heavier)
	s.bench.FilesChanged(context.Background())
	w, _ := s.desk.Work()
	mass := w.Problem.Pack.Kinds[0].Mass
	for range 2 {
		require.True(t, s.desk.Undo())
		w, _ = s.desk.Work()
		require.Equal(t, mass, w.Problem.Pack.Kinds[0].Mass)
	}
	require.Equal(t, 95.0, s.shapeOf(t, "cradle").Points[1][1])

	s.files.elsewhere(packPart, func(w *bench.Work) {
		p := *w.Problem.Pack
		p.Kinds = append([]pack.Kind{}, p.Kinds...)
		p.Kinds[0].Name = "cell"
		w.Problem.Pack = &p
	})
	s.bench.FilesChanged(context.Background())
	now := state(t, s.desk)
	require.Empty(t, now.Boxes)
	require.Contains(t, strings.Join(now.Faults, " "), "cell")
}

// A frame that cannot be read is told, and nothing is taken from the desk.
func TestUnreadableFileElsewhere(t *testing.T) {
	s := serve(t, nil)
	s.files.elsewhere(framePart, func(w *bench.Work) { w.Frame = []byte("format: 1\nframe: half") })
	s.bench.FilesChanged(context.Background())
	require.Contains(t, state(t, s.desk).Saying, "cannot be read")
	require.Equal(t, -105.0, s.across(t))
}

// Two pages: a question is asked on both, answered on one, and then gone on both. What is read
// again is drawn on both without loading the page anew.
func TestTwoPagesAreAsked(t *testing.T) {
	s := serve(t, nil)
	a := open(t, s, 1400, 1000, false)
	b := open(t, s, 1400, 1000, false)
	for _, o := range []opened{a, b} {
		_, err := o.Eval(`() => { window.same = true; }`)
		require.NoError(t, err)
	}

	s.files.elsewhere(framePart, widen)
	s.bench.FilesChanged(context.Background())
	for _, o := range []opened{a, b} {
		o.waitFor(`() => document.querySelector('#saying').textContent.includes('read again')`)
	}
	a.shot("read-again")
	s.turn(t)
	s.files.elsewhere(layoutPart, moveFirst)
	s.bench.FilesChanged(context.Background())
	for _, o := range []opened{a, b} {
		o.waitFor(`() => !document.querySelector('#question').hidden && document.querySelector('#beside').textContent.includes('my-layout.yaml')`)
	}
	b.accessible()
	require.NoError(t, proto.EmulationSetEmulatedMedia{Features: []*proto.EmulationMediaFeature{{Name: "prefers-color-scheme", Value: "dark"}}}.Call(b.Page))
	b.shot("asked")
	b.accessible()
	b.click("#theirs")
	b.until("theirs taken", func(l pack.Layout) bool { return l.Placements[0].Centre.X == 300 })
	for _, o := range []opened{a, b} {
		o.waitFor(`() => document.querySelector('#question').hidden && window.same`)
	}

	// Where the line is cut for a moment, pages take it up again by themselves.
	s.CloseClientConnections()
	require.NoError(t, s.desk.Reorient("block", 2, bench.Turn))
	now := state(t, s.desk).Saying
	for _, o := range []opened{a, b} {
		o.waitFor(`() => document.querySelector('#saying').textContent === ` + strconv.Quote(now))
	}
}
