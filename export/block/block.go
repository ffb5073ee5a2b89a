// Package block makes printable blocks: solids of triangles that stand for the boxes,
// and for a whole layout with its frame, as binary STL or 3MF files in millimetres.
//
//	mesh.go         triangles, and STL
//	threemf.go      3MF
//	triangulate.go  flat faces with holes
//	brick.go        a box with features on its faces, solid or a shell
//	letters.go      words cut into faces
//	kind.go         a kind of box with its posts
//	print.go        how a block is cut up for a printer
//	pieces.go       each piece: how it lies, its sockets and marks
//	layout.go       a layout with its frame, to look at
//	shell.go        columns in shells that hold sockets
//	cage.go         the frame as one part on a plate
//	strut.go        struts from rails and keep-outs to the plate, past the boxes
//	rest.go         the sides of the opening and ledges, to set boxes against and on
//	split.go        the cage cut up for a printer
//	hollow.go       keep-outs as shells
//	overhang.go     where a printer needs supports
//	notch.go        what is cut out of a keep-out
//	union.go        the surface around convex bodies
package block

import (
	"fmt"
	"io"

	"rackwright/export"
	"rackwright/pack"
)

// Files returns for every layout a file with the boxes, rails and keep-outs in their
// places, for looking at.
func Files(problem pack.Problem, layouts []export.Judged) ([]export.File, error) {
	var files []export.File
	for i, l := range layouts {
		mesh, err := OfLayout(problem, l.Layout)
		if err != nil {
			return nil, err
		}
		files = append(files, STLFile(fmt.Sprintf("layout-%d.stl", i+1), mesh))
	}
	return files, nil
}

// STLFile is a mesh as a binary STL file.
func STLFile(name string, m Mesh) export.File {
	return export.File{Name: name, Write: func(w io.Writer) error { return m.WriteSTL(w, name) }}
}
