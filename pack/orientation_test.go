package pack

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"
)

var (
	allFaces  = []Face{Front, Back, Left, Right, Top, Bottom}
	allStands = []Stand{Upright, OnSide, OnEnd, Inverted}
)

// matrix is a rotation as a matrix of rows, as taught: an oracle that shares nothing
// with Orientation.
type matrix [3][3]float64

func (m matrix) times(v [3]float64) (w [3]float64) {
	for i := range 3 {
		for k := range 3 {
			w[i] += m[i][k] * v[k]
		}
	}
	return w
}

func (m matrix) after(n matrix) (p matrix) {
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				p[i][j] += m[i][k] * n[k][j]
			}
		}
	}
	return p
}

// Quarter turns about x and z generate all rotations of a cube.
var (
	quarterX = matrix{{1, 0, 0}, {0, 0, -1}, {0, 1, 0}}
	quarterZ = matrix{{0, -1, 0}, {1, 0, 0}, {0, 0, 1}}
	still    = matrix{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
)

// cubeRotations returns every product of quarter turns.
func cubeRotations() []matrix {
	found := []matrix{still}
	have := map[matrix]bool{still: true}
	for i := 0; i < len(found); i++ {
		for _, q := range []matrix{quarterX, quarterZ} {
			m := q.after(found[i])
			for r := range m {
				for c := range m[r] {
					m[r][c] += 0 // no negative zeros
				}
			}
			if !have[m] {
				have[m] = true
				found = append(found, m)
			}
		}
	}
	return found
}

// faceVector is the outward direction of a face in the box's own axes, by the table
// of the design: front +L, back −L, left +W, right −W, top +H, bottom −H.
func faceVector(f Face) [3]float64 {
	return map[Face][3]float64{
		Front: {1, 0, 0}, Back: {-1, 0, 0}, Left: {0, 1, 0}, Right: {0, -1, 0}, Top: {0, 0, 1}, Bottom: {0, 0, -1},
	}[f]
}

// pitch is the textbook rotation matrix about y.
func pitch(angle float64) matrix {
	c, s := math.Cos(angle), math.Sin(angle)
	return matrix{{c, 0, s}, {0, 1, 0}, {-s, 0, c}}
}

// rotationOf finds the one rotation of the cube that brings face up to +z and face
// front to +x, and tilts it.
func rotationOf(t *testing.T, up, front Face, tilt float64) matrix {
	t.Helper()
	var found []matrix
	for _, m := range cubeRotations() {
		if m.times(faceVector(up)) == [3]float64{0, 0, 1} && m.times(faceVector(front)) == [3]float64{1, 0, 0} {
			found = append(found, m)
		}
	}
	require.Len(t, found, 1, "up %v, front %v", up, front)
	return pitch(tilt).after(found[0])
}

// orientations returns the 24 without tilt.
func orientations() []Orientation {
	var list []Orientation
	for _, up := range allFaces {
		for _, front := range allFaces {
			if o := (Orientation{Up: up, Front: front}); o.Valid() {
				list = append(list, o)
			}
		}
	}
	return list
}

func TestTwentyFourOrientationsAreTheRotationsOfACube(t *testing.T) {
	require.Len(t, cubeRotations(), 24)
	require.Len(t, orientations(), 24)
	seen := map[[3]r3.Vector]bool{}
	for _, o := range orientations() {
		m, axes := rotationOf(t, o.Up, o.Front, 0), o.Axes()
		for i := range 3 {
			require.Equal(t, r3.Vector{X: m[0][i], Y: m[1][i], Z: m[2][i]}, axes[i], "up %v, front %v, axis %d", o.Up, o.Front, i)
		}
		require.Equal(t, axes[2], axes[0].Cross(axes[1]), "right-handed")
		seen[axes] = true
	}
	require.Len(t, seen, 24)
}

func TestTiltTurnsAboutYRightHanded(t *testing.T) {
	for _, o := range orientations() {
		for _, angle := range []s1.Angle{-90 * s1.Degree, -33 * s1.Degree, 0.5 * s1.Degree, 12 * s1.Degree, 45 * s1.Degree, 1, -1, 180 * s1.Degree} {
			o.Tilt = angle
			m, axes := rotationOf(t, o.Up, o.Front, angle.Radians()), o.Axes()
			for i := range 3 {
				require.InDelta(t, m[0][i], axes[i].X, 1e-15)
				require.InDelta(t, m[1][i], axes[i].Y, 1e-15)
				require.InDelta(t, m[2][i], axes[i].Z, 1e-15)
			}
		}
	}
	// ISO 8855: with x forward and z up, a positive angle about y puts the nose down.
	nose := Orientation{Up: Top, Front: Front, Tilt: 10 * s1.Degree}.Axes()[0]
	require.Less(t, nose.Z, 0.0)
	require.Greater(t, nose.X, 0.0)
}

func TestNoTiltGivesExactAxes(t *testing.T) {
	for _, o := range orientations() {
		for _, a := range o.Axes() {
			for _, c := range []float64{a.X, a.Y, a.Z} {
				require.Contains(t, []float64{0, 1, -1}, c)
				require.False(t, c == 0 && math.Signbit(c), "no negative zero")
			}
		}
	}
}

func TestOrientationWithoutSense(t *testing.T) {
	valid := Orientation{Up: Top, Front: Left, Tilt: 0.2}
	require.True(t, valid.Valid())
	for name, o := range map[string]Orientation{
		"same face":       {Up: Top, Front: Top},
		"opposite faces":  {Up: Left, Front: Right},
		"zero value":      {},
		"no such up":      {Up: 6, Front: Front},
		"no such front":   {Up: Top, Front: -1},
		"tilt NaN":        {Up: Top, Front: Front, Tilt: s1.Angle(math.NaN())},
		"tilt infinite":   {Up: Top, Front: Front, Tilt: s1.Angle(math.Inf(1))},
		"tilt minus infi": {Up: Top, Front: Front, Tilt: s1.Angle(math.Inf(-1))},
	} {
		require.False(t, o.Valid(), name)
	}
}

func TestStandIsTheUpperFace(t *testing.T) {
	for face, stand := range map[Face]Stand{
		Top: Upright, Bottom: Inverted, Left: OnSide, Right: OnSide, Front: OnEnd, Back: OnEnd,
	} {
		require.Equal(t, stand, Orientation{Up: face}.Stand(), "%v up", face)
	}
}

func TestFaceGeometry(t *testing.T) {
	for _, f := range allFaces {
		v := faceVector(f)
		require.Equal(t, r3.Vector{X: v[0], Y: v[1], Z: v[2]}, f.Normal())
		require.Equal(t, f.Normal().Mul(-1), f.Opposite().Normal())
		require.Equal(t, 1.0, math.Abs(v[f.Axis()]))
	}
}

func TestNames(t *testing.T) {
	// The words of the file format: a promise to users.
	require.Equal(t, "[front back left right top bottom]", sprint(allFaces))
	require.Equal(t, "[upright on-side on-end inverted]", sprint(allStands))
	require.Equal(t, "[no fit found proven no fit tight sure]", sprint([]Verdict{NoFitFound, ProvenNoFit, Tight, Sure}))
	require.Equal(t, "[beside above wall rail keepout post boot]",
		sprint([]Rule{Beside, Above, Wall, RailGap, KeepOutGap, PostGap, BootGap}))
	require.Equal(t, "(-1) (6) (9)", Face(-1).String()+" "+Face(6).String()+" "+Stand(9).String())
}

func TestNamesAreReadBack(t *testing.T) {
	readBack(t, ParseFace, allFaces)
	readBack(t, ParseStand, allStands)
	readBack(t, ParseVerdict, []Verdict{NoFitFound, ProvenNoFit, Tight, Sure})
	readBack(t, ParseRule, []Rule{Beside, Above, Wall, RailGap, KeepOutGap, PostGap, BootGap})
	for _, text := range []string{"", "Top", "up", "top ", "(1)"} {
		f, err := ParseFace(text)
		require.ErrorContains(t, err, "top or bottom", "the error says what may stand there")
		require.Zero(t, f)
	}
}

func TestVerdictFits(t *testing.T) {
	for v, fits := range map[Verdict]bool{NoFitFound: false, ProvenNoFit: false, Tight: true, Sure: true} {
		require.Equal(t, fits, v.Fits(), "%v", v)
	}
}

type named interface {
	comparable
	String() string
}

func readBack[T named](t *testing.T, parse func(string) (T, error), values []T) {
	t.Helper()
	for _, v := range values {
		got, err := parse(v.String())
		require.NoError(t, err)
		require.Equal(t, v, got)
	}
}
