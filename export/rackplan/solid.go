package rackplan

import (
	"io"

	"rackwright/export"
	"rackwright/export/block"
	"rackwright/geom"
)

// Scale of the printed rack: it is to be held beside mock-ups of that scale, and looked at.
const Scale = 0.25

// solids are the rack with its boxes in place as one STL file, and its bars as parts of a 3MF
// file, each as often as it is needed, both at the scale. Bolts and rods are in the first.
func solids(a Answer) ([]export.File, error) {
	var bodies [][]geom.Solid
	for _, b := range a.Rack.Bars {
		bodies = append(bodies, b.Solids())
	}
	for _, f := range a.Rack.Fasteners {
		bodies = append(bodies, []geom.Solid{f.Shank()})
	}
	for _, p := range a.Layout.Placements {
		box, err := a.Problem.Bodies(p)
		if err != nil {
			return nil, err
		}
		bodies = append(bodies, []geom.Solid{box.Case})
	}
	whole, err := block.Standing(bodies, Scale)
	if err != nil {
		return nil, err
	}
	var pieces []block.Piece
	for _, p := range Parts(a.Rack) {
		piece, _, err := block.OfNotch(p.Letter, p.Bar.Solids(), Scale)
		if err != nil {
			return nil, err
		}
		piece.Copies = len(p.Names)
		pieces = append(pieces, piece)
	}
	return []export.File{
		block.STLFile("rack-1-to-4.stl", whole),
		{Name: "rack-1-to-4.3mf", Write: func(w io.Writer) error { return block.Write3MF(w, pieces) }},
	}, nil
}
