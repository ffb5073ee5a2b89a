package frame

import (
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame/strict"
)

// Mount is an existing bolt point. A rack is tied to it only when Faces, Bolt and Holds are
// given.
type Mount struct {
	Name     string
	At       r3.Vector // the middle of the face that a tie lies against
	Bolt     string    // its size, such as M10; empty when not given
	Mirror   bool      // a second one is at −y
	Faces    r3.Vector // unit vector out of the metal, towards what is bolted on; zero when not given
	Holds    Holds
	Thick    float64  // mm of its metal where a bolt goes through; 0 when not given
	Accuracy *float64 // how far off it may be; nil: as the frame
	Line     int      // of the frame file where it is; 0 where it was not read from one
}

// Holds is what a mount holds its bolt by.
type Holds string

// What a mount may hold its bolt by; the empty word when it is not given.
const (
	Thread Holds = "thread" // a bolt goes into it
	Hole   Holds = "hole"   // a bolt goes through it, with a nut behind
	Stud   Holds = "stud"   // it stands out, for a nut
)

// MaxHangs is how many points a keep-out hangs on the rack by.
const MaxHangs = 8

// Hang is a point at which a keep-out hangs on the rack.
type Hang struct {
	At   r3.Vector
	Bolt string // its size, such as M8
}

type mountFile struct {
	Name     strict.Name       `yaml:"name" jsonschema_description:"Name of the bolt point."`
	At       strict.Place3     `yaml:"at" jsonschema_description:"Where it is [x, y, z], or a mark: the middle of the face that is bolted to."`
	Accuracy *strict.Length    `yaml:"accuracy,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"How far off it may be, instead of the file's accuracy."`
	Bolt     strict.Name       `yaml:"bolt,omitempty" jsonschema:"example=M10" jsonschema_description:"Its bolt."`
	Mirror   bool              `yaml:"mirror,omitempty" jsonschema_description:"true: a second one is at -y."`
	Faces    *strict.Direction `yaml:"faces,omitempty" jsonschema_description:"Where its bolt points, out of the metal: left, right, front, back, up, down or [x, y, z]. A rack needs it."`
	Thick    strict.Length     `yaml:"thick,omitempty" jsonschema:"minimum=1,maximum=100" jsonschema_description:"How thick its metal is where a bolt goes through, or how deep its thread: bolts of a rack are made as long as that needs."`
	Holds    string            `yaml:"holds,omitempty" jsonschema:"enum=thread,enum=hole,enum=stud" jsonschema_description:"What holds its bolt: a thread, a hole that a bolt goes through with a nut behind, or a stud that stands out. A rack needs it."`
}

type hangFile struct {
	At   strict.Point3 `yaml:"at" jsonschema_description:"The point [x, y, z] at which it hangs on the rack."`
	Bolt strict.Name   `yaml:"bolt" jsonschema:"example=M8" jsonschema_description:"Its bolt."`
}

// Sides returns the mount and, where it has one, its mirror image, with their names.
func (m Mount) Sides() []Mount {
	if !m.Mirror || m.At.Y == 0 {
		return []Mount{m}
	}
	other := m
	other.At, other.Faces = mirror(m.At, true), mirror(m.Faces, true)
	left, right := m.Name+" left", m.Name+" right"
	if m.At.Y < 0 {
		left, right = right, left
	}
	m.Name, other.Name = left, right
	return []Mount{m, other}
}

func (r *reader) mounts() []Mount {
	files := r.file.Mounts
	r.limit(&r.file.Mounts, len(files), MaxMounts, "mounts")
	var all []Mount
	for i := range files {
		all = append(all, r.mount(&files[i]))
	}
	return all
}

func (r *reader) mount(f *mountFile) Mount {
	m := Mount{Name: string(f.Name), At: r.at3(&f.At), Bolt: string(f.Bolt), Mirror: f.Mirror, Holds: Holds(f.Holds), Line: r.Line(&f.Name)}
	m.Accuracy, _ = r.ownOrMarks(r.accuracy(f.Accuracy), r.onMarks([]int{r.markOf(f.At.Mark)}, r2.Point{}))
	if f.Faces != nil {
		m.Faces = r3.Vector{X: f.Faces[0], Y: f.Faces[1], Z: f.Faces[2]}
	}
	if m.Thick = float64(f.Thick); r.Given(&f.Thick) && (m.Thick < 1 || m.Thick > 100) {
		r.At(&f.Thick, strict.OutOfRange, "the metal of a mount is from 1 to 100 mm thick, not %g", m.Thick)
	}
	switch m.Holds {
	case "", Thread, Hole, Stud:
	default:
		r.At(&f.Holds, strict.BadValue, "a mount holds its bolt by a thread, a hole or a stud, not by %q", f.Holds)
	}
	names := []string{m.Name}
	if sides := m.Sides(); len(sides) > 1 {
		names = append(names, sides[0].Name, sides[1].Name)
	}
	r.claim(&f.Name, "a mount", names...)
	return m
}

func (r *reader) hangs(f *keepOutFile) []Hang {
	r.limit(&f.Hangs, len(f.Hangs), MaxHangs, "points")
	var all []Hang
	for _, h := range f.Hangs {
		all = append(all, Hang{At: vector(h.At), Bolt: string(h.Bolt)})
	}
	if len(all) > 0 && f.Mass == 0 {
		r.At(&f.Hangs, strict.MissingKey, "what hangs on the rack needs its mass")
	}
	return all
}
