package certificate

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// Proof is the content of a proof file. Exactly one of Volume, Points, Scales, Cells and
// Tree is set.
type Proof struct {
	Format    int    `json:"format"` // 1
	Claim     string `json:"claim"`  // Claim
	FrameHash string `json:"frame_sha256"`
	PackHash  string `json:"pack_sha256"`

	Volume bool    `json:"volume,omitempty"` // the boxes have more volume than the opening
	Points *Points `json:"points,omitempty"`
	Scales []Mix   `json:"scales,omitempty"`
	Cells  *Cells  `json:"cells,omitempty"`

	Order  int     `json:"order"` // the axis (0, 1, 2) along which boxes of a kind are numbered
	Bodies []Body  `json:"bodies,omitempty"`
	Lemmas []Lemma `json:"lemmas,omitempty"`
	Tree   *Node   `json:"tree,omitempty"`
}

// Claim is what every proof claims.
const Claim = "no layout of the allowed stands, turns and tilts has a spare of 0 or more"

// Lemma says that no layout has all of some facts. Its tree starts with these: with the
// choices made, numbered from 0, and with the poses that Turns leave, every box without one
// having all of its poses. It may rest on lemmas before it.
type Lemma struct {
	Choices []Choice `json:"choices,omitempty"`
	Turns   []Poses  `json:"turns,omitempty"`
	Tree    Node     `json:"tree"`
}

// Choice says in which direction two bodies lie apart. Exactly one of Apart and Clear is set,
// as in a Node.
type Choice struct {
	Apart []int `json:"apart,omitempty"`
	Clear []int `json:"clear,omitempty"`
	Way   int   `json:"way"` // the direction, of those that there are with all poses
}

// Poses says that a box has one of some poses.
type Poses struct {
	Box   int   `json:"box"`
	Poses []int `json:"poses"`
}

// Node is a node of the tree. Exactly one of Apart, Clear, Turn, Lemma and Sum is set.
type Node struct {
	Apart []int  `json:"apart,omitempty"` // box, part, box, part: one branch for each direction from the second to the first
	Clear []int  `json:"clear,omitempty"` // box, part, solid: one branch for each direction from the solid to the part
	Turn  *Turn  `json:"turn,omitempty"`
	Lemma *int   `json:"lemma,omitempty"` // the facts of this lemma hold here, so nothing fits
	Then  []Node `json:"then,omitempty"`  // the branches
	Sum   []Term `json:"sum,omitempty"`
}

// Turn says that a box has a pose of one of the sets: one branch for each.
type Turn struct {
	Box  int     `json:"box"`
	Sets [][]int `json:"sets"` // numbers of poses
}

// Term is an inequality, Times times. Exactly one of Wall, Choice and Order is set.
type Term struct {
	Wall   []int   `json:"wall,omitempty"`   // box, wall: the box is inside the wall
	Choice *int    `json:"choice,omitempty"` // what was chosen at an Apart or Clear on the way, counted from the root, behind the choices of a lemma
	Order  *int    `json:"order,omitempty"`  // box: it is no less far along the order than the box before it, of the same kind
	Times  float64 `json:"times"`
}

// ErrFormat is wrapped by the errors of Read.
var ErrFormat = errors.New("this is no proof file")

// Read reads a proof file. What it says is not checked; Verify does that. It takes no file of
// more than MostBytes, nor one that would take too much memory.
func Read(r io.Reader, name string) (Proof, error) {
	limited := &io.LimitedReader{R: r, N: MostBytes + 1}
	d := json.NewDecoder(&counted{r: limited})
	d.DisallowUnknownFields()
	var p Proof
	err := d.Decode(&p)
	if err == nil {
		if _, more := d.Token(); more != io.EOF {
			err = errors.New("there is more after the end of the proof")
		}
	}
	switch {
	case limited.N <= 0:
		err = fmt.Errorf("it is larger than %d MB", MostBytes>>20)
	case err == nil && (p.Format != 1 || p.Claim != Claim):
		err = fmt.Errorf("it has another format or another claim; make it anew with fit --proof")
	}
	if err != nil {
		return Proof{}, fmt.Errorf("%s: %w: %s", name, ErrFormat, briefly(err))
	}
	return p, nil
}

// briefly is the beginning of an error: it may hold as much of the file as that has.
func briefly(err error) string {
	const most = 200
	text := []rune(err.Error())
	if len(text) <= most {
		return string(text)
	}
	return string(text[:most]) + "…"
}

// Write writes a proof file. It is an error, and nothing is written, where Read would not take it.
func Write(w io.Writer, p Proof) error {
	text, err := json.Marshal(p)
	if err != nil {
		return err
	}
	text = append(text, '\n')
	if n, err := io.Copy(io.Discard, &counted{r: bytes.NewReader(text)}); err != nil || n > MostBytes {
		return fmt.Errorf("the proof has %d MB, and that is more than are checked", n>>20)
	}
	_, err = w.Write(text)
	return err
}
