package loads

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/pack/rack"
	"rackwright/pack/rack/beam"
)

// hangers are the names of what hangs on the rack.
func hangers(f *frame.Frame) map[string]bool {
	names := map[string]bool{}
	if f == nil {
		return names
	}
	for _, k := range f.KeepOuts {
		names[k.Name] = len(k.Hangs) > 0
	}
	return names
}

// addHangs lets what hangs on the rack pull at its points, each by an even part of its mass; what
// would turn it is left to where else it is bolted to the vehicle.
func (m *model) addHangs(f *frame.Frame) {
	if f == nil {
		return
	}
	for _, k := range f.KeepOuts {
		for _, h := range k.Hangs {
			mass := k.Mass / float64(len(k.Hangs))
			if bar, bolt := m.hangsOn(k.Name, h.At); bar != nil {
				n := m.frame.Node(h.At, k.Name)
				number := m.frame.Join(beam.Joint{A: n, B: bar.nearestTo(h.At), At: h.At, Axis: bolt.Along(), Name: bolt.Name})
				m.joints = append(m.joints, joint{number: number, fastener: bolt, lever: math.Inf(1)})
				m.hung = append(m.hung, body{k.Name, n, mass, h.At})
			}
		}
	}
}

// hangsOn is the bar that a keep-out is bolted to at a point, and the bolt.
func (m *model) hangsOn(name string, at r3.Vector) (*line, *rack.Fastener) {
	for i := range m.rack.Fasteners {
		f := &m.rack.Fasteners[i]
		off := at.Sub(f.From)
		if !slices.Contains(f.Joins, name) || off.Sub(f.Along().Mul(off.Dot(f.Along()))).Norm() > 1 {
			continue
		}
		for _, join := range f.Joins {
			if l := m.bars[join]; l != nil {
				return l, f
			}
		}
	}
	return nil, nil
}
