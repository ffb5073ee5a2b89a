package beam_test

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack/rack/beam"
)

// strut is a bar of a test frame between two of its corners, with its section's flat side.
type strut struct {
	from, to int
	y        r3.Vector
}

// structure is a frame of rectangular bars whose first corners stand on hinges: both are
// statically indeterminate.
type structure struct {
	name    string
	corners []r3.Vector
	struts  []strut
	fixed   int
	held    int // a corner that is held across, or −1
	load    int
	force   r3.Vector
	wide    float64 // along y of the strut
	high    float64
}

func structures() []structure {
	portal := structure{
		name:    "portal",
		corners: []r3.Vector{{}, {X: 400}, {Z: 300}, {X: 400, Z: 300}},
		struts:  []strut{{0, 2, r3.Vector{Y: 1}}, {1, 3, r3.Vector{Y: 1}}, {2, 3, r3.Vector{Y: 1}}},
		fixed:   2, held: 2, load: 2, force: r3.Vector{X: 2, Z: -4}, wide: 4, high: 3,
	}
	table := structure{
		name: "table with four legs",
		corners: []r3.Vector{
			{},
			{X: 300},
			{X: 300, Y: 200},
			{Y: 200},
			{Z: 250},
			{X: 300, Z: 250},
			{X: 300, Y: 200, Z: 250},
			{Y: 200, Z: 250},
		},
		fixed: 4, held: -1, load: 6, force: r3.Vector{X: 0.9, Y: -0.6, Z: -1.5}, wide: 3, high: 3,
	}
	for i := range 4 {
		table.struts = append(table.struts, strut{i, i + 4, r3.Vector{Y: 1}}, strut{4 + i, 4 + (i+1)%4, r3.Vector{Z: 1}})
	}
	return []structure{portal, table}
}

// rectangle is the section of a bar, its torsion constant by Roark's approximation for solid
// rectangles: a b³ (16/3 − 3.36 b/a (1 − b⁴/12a⁴)) with half sides a ≥ b.
func (s structure) rectangle() beam.Section {
	a, b := max(s.wide, s.high)/2, min(s.wide, s.high)/2
	j := a * b * b * b * (16.0/3 - 3.36*b/a*(1-math.Pow(b/a, 4)/12))
	return beam.Section{Area: s.wide * s.high, IY: s.wide * math.Pow(s.high, 3) / 12, IZ: s.high * math.Pow(s.wide, 3) / 12, J: j}
}

func (s structure) model() *beam.Model {
	var m beam.Model
	for i, c := range s.corners {
		m.Node(c, fmt.Sprint("corner ", i))
	}
	for _, b := range s.struts {
		m.Member(b.from, b.to, s.rectangle(), beam.Steel, b.y, "strut")
	}
	for i := range s.fixed {
		m.Fix(i, [6]bool{true, true, true})
	}
	if s.held >= 0 {
		m.Fix(s.held, [6]bool{1: true})
	}
	return &m
}

// parts is how many elements of the outside program a strut is cut into.
const parts = 30

// input is the same frame for the outside program, in B32R elements. It returns the numbers of
// the corners' nodes, which come first.
func (s structure) input() string {
	var nodes, elements, sections strings.Builder
	n := 0
	node := func(p r3.Vector) int {
		n++
		fmt.Fprintf(&nodes, "%d, %.9g, %.9g, %.9g\n", n, p.X, p.Y, p.Z)
		return n
	}
	for _, c := range s.corners {
		node(c)
	}
	element := 0
	for k, b := range s.struts {
		fmt.Fprintf(&elements, "*ELEMENT, TYPE=B32R, ELSET=S%d\n", k)
		from, to := s.corners[b.from], s.corners[b.to]
		last := b.from + 1
		for i := range parts {
			middle := node(from.Add(to.Sub(from).Mul((float64(i) + 0.5) / parts)))
			next := b.to + 1
			if i < parts-1 {
				next = node(from.Add(to.Sub(from).Mul(float64(i+1) / parts)))
			}
			element++
			fmt.Fprintf(&elements, "%d, %d, %d, %d\n", element, last, middle, next)
			last = next
		}
		fmt.Fprintf(&sections, "*BEAM SECTION, ELSET=S%d, MATERIAL=STEEL, SECTION=RECT\n%g, %g\n%g, %g, %g\n", k, s.wide, s.high, b.y.X, b.y.Y, b.y.Z)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "*NODE, NSET=ALL\n%s%s*MATERIAL, NAME=STEEL\n*ELASTIC\n%g, 0.3\n%s*BOUNDARY\n", nodes.String(), elements.String(), beam.Steel.E, sections.String())
	for i := range s.fixed {
		fmt.Fprintf(&b, "%d, 1, 3\n", i+1)
	}
	if s.held >= 0 {
		fmt.Fprintf(&b, "%d, 2, 2\n", s.held+1)
	}
	fmt.Fprintf(&b, "*NSET, NSET=CORNERS\n1")
	for i := 1; i < len(s.corners); i++ {
		fmt.Fprintf(&b, ", %d", i+1)
	}
	fmt.Fprintf(&b, "\n*STEP\n*STATIC\n*CLOAD\n")
	for i, f := range []float64{s.force.X, s.force.Y, s.force.Z} {
		fmt.Fprintf(&b, "%d, %d, %g\n", s.load+1, i+1, f)
	}
	b.WriteString("*NODE PRINT, NSET=CORNERS\nU, RF\n*END STEP\n")
	return b.String()
}

// outside runs the outside program and returns what it says of the corners: how they move, and
// what their hinges do.
func outside(t *testing.T, s structure) (moves, supports []r3.Vector) {
	t.Helper()
	program, err := exec.LookPath("ccx")
	if err != nil {
		if os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "1" {
			t.Fatal("ccx is required: install calculix-ccx")
		}
		t.Skip("ccx is not installed")
	}
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "frame.inp"), []byte(s.input()), 0o644))
	run := exec.Command(program, "frame")
	run.Dir, run.Env = dir, append(os.Environ(), "OMP_NUM_THREADS=1")
	out, err := run.CombinedOutput()
	require.NoError(t, err, string(out))
	text, err := os.ReadFile(filepath.Join(dir, "frame.dat"))
	require.NoError(t, err)
	tables := strings.Split(string(text), "for set CORNERS")
	require.Len(t, tables, 3)
	return vectors(tables[1]), vectors(tables[2])
}

// vectors reads the lines of a table that are a number and three values.
func vectors(table string) []r3.Vector {
	var list []r3.Vector
	for _, line := range strings.Split(table, "\n") {
		f := strings.Fields(line)
		if len(f) != 4 {
			continue
		}
		var v [3]float64
		for i := range v {
			x, err := strconv.ParseFloat(f[i+1], 64)
			if err != nil {
				break
			}
			v[i] = x
		}
		list = append(list, r3.Vector{X: v[0], Y: v[1], Z: v[2]})
	}
	return list
}

// Portal and space frame against Debian's calculix-ccx: displacements, and the forces at the
// feet, within 2 % of the greatest.
func TestAgainstCalculiX(t *testing.T) {
	for _, s := range structures() {
		moves, supports := outside(t, s)
		require.Len(t, moves, len(s.corners), s.name)
		m := s.model()
		got, err := m.Solve(beam.Loads{Forces: []beam.Force{{Node: s.load, At: s.corners[s.load], Force: s.force}}})
		require.NoError(t, err)
		size := 0.0
		for _, v := range moves {
			size = max(size, v.Norm())
		}
		for i := range s.corners {
			require.Less(t, got.Move(i).Sub(moves[i]).Norm(), 0.02*size, "%s: corner %d moves %v, not %v", s.name, i, got.Move(i), moves[i])
		}
		for i := range s.fixed {
			want := supports[i]
			leg := legAt(s, i)
			inner := got.Inner(leg, 0).Force
			axes := got.Axes(leg)
			force := axes[0].Mul(-inner.X).Add(axes[1].Mul(-inner.Y)).Add(axes[2].Mul(-inner.Z))
			require.Less(t, force.Sub(want).Norm(), 0.02*s.force.Norm(), "%s: support %d carries %v, not %v", s.name, i, force, want)
		}
	}
}

// legAt is the strut that begins at a foot.
func legAt(s structure, corner int) int {
	for i, b := range s.struts {
		if b.from == corner {
			return i
		}
	}
	return -1
}
