package rackplan

import (
	"fmt"
	"io"

	"rackwright/export"
	"rackwright/export/block"
	"rackwright/geom"
)

// DefaultScale is that of the printed rack: it is to be held beside mock-ups of that scale.
const DefaultScale = 0.25

// solids are the rack with its boxes in place as one STL file, and its bars and boxes as parts of a
// 3MF file, each as often as it is needed, both at the scale. Bolts and rods are in the first.
func solids(a Answer, scale float64) ([]export.File, error) {
	var bodies [][]geom.Solid
	for _, b := range a.Rack.Bars {
		bodies = append(bodies, b.Solids())
	}
	for _, f := range a.Rack.Fasteners {
		bodies = append(bodies, []geom.Solid{f.Shank()})
		if f.Sleeve != nil {
			bodies = append(bodies, []geom.Solid{f.Tube()})
		}
	}
	for _, c := range a.Rack.Clamps {
		bodies = append(bodies, c.Solids())
	}
	for _, p := range a.Layout.Placements {
		box, err := a.Problem.Bodies(p)
		if err != nil {
			return nil, err
		}
		bodies = append(bodies, []geom.Solid{box.Case})
	}
	whole, err := block.Standing(bodies, scale)
	if err != nil {
		return nil, err
	}
	var pieces []block.Piece
	for _, p := range Parts(a.Rack) {
		piece, _, err := block.OfNotch(p.Letter, p.Bar.Solids(), scale)
		if err != nil {
			return nil, err
		}
		piece.Copies = len(p.Names)
		pieces = append(pieces, piece)
	}
	for _, k := range a.Problem.Pack.Kinds {
		boxes, err := block.Pieces(k, block.Print{Scale: scale})
		if err != nil {
			return nil, err
		}
		for i := range boxes {
			boxes[i].Copies *= a.count(k.Name)
		}
		pieces = append(pieces, boxes...)
	}
	name := fmt.Sprintf("rack-1-to-%.3g", 1/scale)
	return []export.File{
		block.STLFile(name+".stl", whole),
		{Name: name + ".3mf", Write: func(w io.Writer) error { return block.Write3MF(w, pieces) }},
	}, nil
}

// count is how many boxes of a kind stand in the layout.
func (a Answer) count(kind string) int {
	n := 0
	for _, p := range a.Layout.Placements {
		if p.Box == kind {
			n++
		}
	}
	return n
}
