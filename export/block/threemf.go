package block

import (
	"archive/zip"
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/golang/geo/r3"
	"github.com/hpinc/go3mf"
)

// gapOnBed is left between pieces that lie beside each other, in millimetres.
const gapOnBed = 5.0

// Write3MF writes pieces as one 3MF file in millimetres: an object for each with its
// name, and an item for each copy, side by side.
func Write3MF(w io.Writer, pieces []Piece) error {
	model := go3mf.Model{Units: go3mf.UnitMillimeter, Language: "en"}
	x := 0.0
	for i, p := range pieces {
		object, err := objectOf(p)
		if err != nil {
			return err
		}
		object.ID = uint32(i + 1)
		model.Resources.Objects = append(model.Resources.Objects, object)
		low, high := p.Mesh.bounds()
		for n := range max(1, p.Copies) {
			model.Build.Items = append(model.Build.Items, &go3mf.Item{
				ObjectID: object.ID, PartNumber: partNumber(p, n),
				Transform: go3mf.Identity().Translate(float32(x), 0, 0),
			})
			x += high.X - low.X + gapOnBed
		}
	}
	if err := model.Validate(); err != nil {
		return fmt.Errorf("%w: %w", ErrMesh, err)
	}
	var b bytes.Buffer
	if err := go3mf.NewEncoder(&b).Encode(&model); err != nil {
		return err
	}
	return repacked(w, b.Bytes())
}

// repacked writes an archive again without the time of day, and with the lines of its
// list of types in order: the library takes both as they come.
func repacked(w io.Writer, archive []byte) error {
	in, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		return err
	}
	buffered := bufio.NewWriter(w)
	out := zip.NewWriter(buffered)
	for _, f := range in.File {
		content, err := contentOf(f)
		if err != nil {
			return err
		}
		if f.Name == "[Content_Types].xml" {
			content = sortedTypes(content)
		}
		part, err := out.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate})
		if err != nil {
			return err
		}
		if _, err := part.Write(content); err != nil {
			return err
		}
	}
	return errors.Join(out.Close(), buffered.Flush())
}

func contentOf(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return io.ReadAll(r)
}

// sortedTypes puts the lines between the first two and the last in order.
func sortedTypes(content []byte) []byte {
	lines := bytes.Split(content, []byte("\n"))
	if len(lines) > 3 {
		slices.SortFunc(lines[2:len(lines)-1], bytes.Compare)
	}
	return bytes.Join(lines, []byte("\n"))
}

func partNumber(p Piece, n int) string {
	if p.Copies < 2 {
		return p.Name
	}
	return fmt.Sprintf("%s %d", p.Name, n+1)
}

// objectOf is the mesh with each corner once.
func objectOf(p Piece) (*go3mf.Object, error) {
	mesh := new(go3mf.Mesh)
	index := map[r3.Vector]uint32{}
	at := func(v r3.Vector) uint32 {
		i, ok := index[v]
		if !ok {
			i = uint32(len(index))
			index[v] = i
			mesh.Vertices.Vertex = append(mesh.Vertices.Vertex, go3mf.Point3D{float32(v.X), float32(v.Y), float32(v.Z)})
		}
		return i
	}
	for _, t := range p.Mesh.Triangles {
		for _, v := range t {
			if !finite(v) {
				return nil, fmt.Errorf("%w: %s has a corner at %v", ErrMesh, p.Name, v)
			}
		}
		mesh.Triangles.Triangle = append(mesh.Triangles.Triangle, go3mf.Triangle{V1: at(t[0]), V2: at(t[1]), V3: at(t[2])})
	}
	return &go3mf.Object{Name: p.Name, Mesh: mesh, Type: go3mf.ObjectTypeModel}, nil
}
