package photo_test

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"

	"rackwright/export/bench/photo"
)

// camera is a picture of the side view as a lens without distortion makes it, by the
// equations of a pinhole: turned about the upright and the cross axis, some way off.
type camera struct {
	yaw, pitch, roll, away, focal float64
}

func (c camera) pixel(p r2.Point) r2.Point {
	x, y, z := p.X-300, 250-p.Y, 0.0
	x, y = x*math.Cos(c.roll)-y*math.Sin(c.roll), x*math.Sin(c.roll)+y*math.Cos(c.roll)
	x, z = x*math.Cos(c.yaw)-z*math.Sin(c.yaw), x*math.Sin(c.yaw)+z*math.Cos(c.yaw)
	y, z = y*math.Cos(c.pitch)-z*math.Sin(c.pitch), y*math.Sin(c.pitch)+z*math.Cos(c.pitch)
	return r2.Point{X: 2000 + c.focal*x/(z+c.away), Y: 1500 + c.focal*y/(z+c.away)}
}

func (c camera) marks(at []r2.Point) (list []photo.Mark) {
	for _, p := range at {
		list = append(list, photo.Mark{Pixel: c.pixel(p), At: p})
	}
	return list
}

var cameras = []camera{{0, 0, 0, 1500, 3000}, {0.5, -0.2, 0.05, 1300, 3000}, {-0.7, 0.3, -0.4, 2500, 4000}, {0.3, 0.3, 2, 900, 2400}}

// Four marks straighten what is elsewhere in the picture within a pixel of where the pinhole's
// equations put it; they were set to a hundredth of one.
func TestFourMarks(t *testing.T) {
	corners := []r2.Point{{X: 0, Y: 0}, {X: 600, Y: 20}, {X: 620, Y: 480}, {X: 40, Y: 450}}
	for _, c := range cameras {
		s, err := photo.FromMarks(c.marks(corners))
		require.NoError(t, err)
		for x := -50.0; x <= 650; x += 70 {
			for z := -50.0; z <= 550; z += 60 {
				p := r2.Point{X: x, Y: z}
				q, ok := s.ToPixel.Apply(p)
				require.True(t, ok)
				require.InDelta(t, 0, q.Sub(c.pixel(p)).Norm(), 1e-6)
				back, ok := s.ToPlace.Apply(c.pixel(p))
				require.True(t, ok)
				require.InDelta(t, 0, back.Sub(p).Norm(), 1e-6)
			}
		}
		for _, off := range s.Off {
			require.InDelta(t, 0, off, 1e-6)
		}
	}
}

// A mark at a wrong place shows beside the others.
func TestWrongMarkShows(t *testing.T) {
	at := []r2.Point{{X: 0, Y: 0}, {X: 600, Y: 20}, {X: 620, Y: 480}, {X: 40, Y: 450}, {X: 300, Y: 200}, {X: 150, Y: 300}}
	marks := cameras[1].marks(at)
	marks[4].At.X += 30
	s, err := photo.FromMarks(marks)
	require.NoError(t, err)
	for i, off := range s.Off {
		if i != 4 {
			require.Less(t, off, s.Off[4])
		}
	}
}

func TestMarksThatSayNothing(t *testing.T) {
	square := []r2.Point{{X: 0, Y: 0}, {X: 600, Y: 0}, {X: 600, Y: 400}, {X: 0, Y: 400}}
	c := cameras[1]
	for name, want := range map[string]struct {
		marks []photo.Mark
		err   error
	}{
		"three":             {c.marks(square[:3]), photo.ErrFewMarks},
		"too many":          {make([]photo.Mark, photo.MaxMarks+1), photo.ErrManyMark},
		"none of them":      {make([]photo.Mark, 4), photo.ErrMarks},
		"three in one line": {c.marks([]r2.Point{{X: 0, Y: 0}, {X: 300, Y: 0}, {X: 600, Y: 0}, {X: 0, Y: 400}}), photo.ErrMarks},
		"two in one place":  {c.marks([]r2.Point{square[0], square[1], square[2], square[2]}), photo.ErrMarks},
		"not a number":      {c.marks([]r2.Point{square[0], square[1], square[2], {X: math.NaN()}}), photo.ErrMarks},
		"crossed over": {[]photo.Mark{
			{Pixel: r2.Point{X: 0, Y: 0}, At: square[0]},
			{Pixel: r2.Point{X: 100, Y: 0}, At: square[1]},
			{Pixel: r2.Point{X: 0, Y: 100}, At: square[2]},
			{Pixel: r2.Point{X: 110, Y: 90}, At: square[3]},
		}, photo.ErrMarks},
	} {
		_, err := photo.FromMarks(want.marks)
		require.ErrorIs(t, err, want.err, name)
	}
}

// openCV finds the homographies of marks, and where they take points.
const openCV = `
import sys, json, cv2, numpy as np
out = []
for q in json.load(sys.stdin):
    h, _ = cv2.findHomography(np.array(q["at"]), np.array(q["pixel"]), 0)
    out.append(cv2.perspectiveTransform(np.array([q["ask"]], dtype=np.float64), h)[0].tolist())
json.dump(out, sys.stdout)
`

type question struct {
	At    [][2]float64 `json:"at"`
	Pixel [][2]float64 `json:"pixel"`
	Ask   [][2]float64 `json:"ask"`
}

// Marks set by hand, some pixels off, four to twelve of them: points apart from them come to
// within a pixel of where OpenCV's findHomography puts them (least squares, no outliers left
// out), in pictures of 4000 by 3000.
func TestOpenCV(t *testing.T) {
	const python = "/usr/bin/python3" // that of Debian, which has OpenCV
	if exec.Command(python, "-c", "import cv2").Run() != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip("python3 with opencv is missing")
	}
	rng := rand.New(rand.NewPCG(1, 2))
	ask := [][2]float64{{0, 0}, {100, 50}, {300, 250}, {600, 0}, {620, 470}, {20, 430}, {450, 130}}
	var questions []question
	var ours []photo.Straightened
	for range 200 {
		marks := someMarks(rng)
		s, err := photo.FromMarks(marks)
		require.NoError(t, err)
		q := question{Ask: ask}
		for _, m := range marks {
			q.At, q.Pixel = append(q.At, [2]float64{m.At.X, m.At.Y}), append(q.Pixel, [2]float64{m.Pixel.X, m.Pixel.Y})
		}
		questions, ours = append(questions, q), append(ours, s)
	}
	for i, places := range asked(t, python, questions) {
		for k, want := range places {
			got, ok := ours[i].ToPixel.Apply(r2.Point{X: ask[k][0], Y: ask[k][1]})
			require.True(t, ok)
			require.InDelta(t, 0, got.Sub(r2.Point{X: want[0], Y: want[1]}).Norm(), 1, "picture %d, point %d", i, k)
		}
	}
}

// someMarks are marks near the corners of the side view and more between, set to about 3 pixels.
func someMarks(rng *rand.Rand) []photo.Mark {
	at := []r2.Point{{X: 0, Y: 0}, {X: 600, Y: 0}, {X: 600, Y: 450}, {X: 0, Y: 450}}
	for range rng.IntN(9) {
		at = append(at, r2.Point{X: 600 * rng.Float64(), Y: 450 * rng.Float64()})
	}
	marks := cameras[rng.IntN(len(cameras))].marks(at)
	for i := range marks {
		marks[i].Pixel = marks[i].Pixel.Add(r2.Point{X: 3 * rng.NormFloat64(), Y: 3 * rng.NormFloat64()})
	}
	return marks
}

func asked(t *testing.T, python string, questions []question) [][][2]float64 {
	t.Helper()
	var in, out bytes.Buffer
	require.NoError(t, json.NewEncoder(&in).Encode(questions))
	cmd := exec.Command(python, "-c", openCV)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = &in, &out, os.Stderr
	require.NoError(t, cmd.Run())
	var list [][][2]float64
	require.NoError(t, json.Unmarshal(out.Bytes(), &list))
	require.Len(t, list, len(questions))
	return list
}
