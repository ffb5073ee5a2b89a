// Package rackkit helps tests of racks: it reads the places of boxes from a layout file without
// the package that writes them, which is above, and makes racks that no designer has made.
package rackkit

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame/strict"
	"rackwright/pack"
	"rackwright/pack/rack"
)

// Plated is the trail example's rack with one plate instead of the two flats that hold its upper tray
// in front: "upper plate 2", with the eight bolts of both.
func Plated(r *rack.Rack) *rack.Rack {
	out := *r
	out.Bars, out.Fasteners = nil, nil
	for _, b := range r.Bars {
		switch b.Name {
		case "upper upright 2a":
			b.Name, b.Section = plated, rack.Section{Form: rack.Plate, Width: 77, Thick: 4}
			out.Bars = append(out.Bars, b)
		case "upper upright 2b":
		default:
			out.Bars = append(out.Bars, b)
		}
	}
	for _, f := range r.Fasteners {
		f.Joins = slices.Clone(f.Joins)
		for i, name := range f.Joins {
			if strings.HasPrefix(name, "upper upright 2") {
				f.Joins[i] = plated
			}
		}
		out.Fasteners = append(out.Fasteners, f)
	}
	return &out
}

const plated = "upper plate 2"

// OnStuds is a rack with the bolts of mounts that the problem has made into studs of these.
func OnStuds(p pack.Problem, r *rack.Rack) *rack.Rack {
	out := *r
	out.Fasteners = slices.Clone(r.Fasteners)
	for _, m := range p.Frame.Mounts {
		for _, side := range m.Sides() {
			for i := range out.Fasteners {
				if f := &out.Fasteners[i]; slices.Contains(f.Joins, side.Name) {
					bar, _ := r.Bar(f.Joins[0])
					f.From, f.To = side.At, side.At.Add(side.Faces.Mul(20))
					f.Rod, f.Class = true, "4.6"
					f.Nuts = []rack.Nut{{At: bar.Section.Thick, Beyond: true, Locking: true}}
					f.Joins = []string{side.Name, bar.Name}
				}
			}
		}
	}
	return &out
}

type layout struct {
	Format     int         `yaml:"format"`
	Placements []placement `yaml:"placements"`
}

type placement struct {
	Box    strict.Name   `yaml:"box"`
	Number int           `yaml:"number"`
	Up     string        `yaml:"up"`
	Front  string        `yaml:"front"`
	Tilt   float64       `yaml:"tilt_deg"`
	Centre strict.Point3 `yaml:"centre_mm"`
}

// Layout reads the placements of a layout file whose boxes are not tilted.
func Layout(t testing.TB, path string) pack.Layout {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	var file layout
	require.NoError(t, strict.Read(path, f, &file, func(*strict.Decoder) {}))
	var l pack.Layout
	for _, p := range file.Placements {
		up, err := pack.ParseFace(p.Up)
		require.NoError(t, err)
		front, err := pack.ParseFace(p.Front)
		require.NoError(t, err)
		l.Placements = append(l.Placements, pack.Placement{
			Box: string(p.Box), Number: p.Number, Orientation: pack.Orientation{Up: up, Front: front},
			Centre: r3.Vector{X: p.Centre[0], Y: p.Centre[1], Z: p.Centre[2]},
		})
	}
	return l
}
