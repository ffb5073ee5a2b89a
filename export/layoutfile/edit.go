package layoutfile

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"rackwright/pack"
)

// ErrOtherBoxes is returned by Edit where the file's boxes are not those of the layout.
var ErrOtherBoxes = errors.New("the layout file has other boxes")

// Edit puts the places of a layout into the text of a layout file: only the words and numbers
// that change are replaced, so comments, order and all other lines stay to the byte. Where a box
// has moved, the order in which boxes go in is taken out, for it is of the places before. Where the
// file says of which frame and pack it is, it says that of the layout. The text has to be one that
// Read reads.
func Edit(text []byte, layout pack.Layout) ([]byte, error) {
	old, err := Read(bytes.NewReader(text), "")
	if err != nil {
		return nil, err
	}
	e := &editor{lines: strings.SplitAfter(string(text), "\n")}
	root, err := e.parse(text)
	if err != nil {
		return nil, err
	}
	if len(old.Layout.Placements) != len(layout.Placements) {
		return nil, ErrOtherBoxes
	}
	list, ok := valueOf(root, "placements").(*ast.SequenceNode)
	if !ok || len(list.Values) != len(layout.Placements) {
		return nil, ErrOtherBoxes
	}
	moved := false
	for i, was := range old.Layout.Placements {
		now, ok := placementOf(layout, was.Part())
		node, isMap := list.Values[i].(*ast.MappingNode)
		if !ok || !isMap {
			return nil, ErrOtherBoxes
		}
		moved = moved || !samePlace(was, now)
		e.placement(node, was, now)
	}
	if moved {
		e.dropOrder(root)
	}
	e.hash(root, "frame_sha256", layout.FrameHash)
	e.hash(root, "pack_sha256", layout.PackHash)
	return checked(e.text(), layout)
}

// checked reads an edited text again: what does not say what it is to say is never written.
func checked(text []byte, layout pack.Layout) ([]byte, error) {
	back, err := Read(bytes.NewReader(text), "")
	if err != nil {
		return nil, fmt.Errorf("the file cannot be changed in place: %w", err)
	}
	for _, p := range back.Layout.Placements {
		if want, ok := placementOf(layout, p.Part()); !ok || !samePlace(p, want) || p.Pinned != want.Pinned {
			return nil, fmt.Errorf("the file cannot be changed in place at %v: write each of its values on a line of its own", p.Part())
		}
	}
	return text, nil
}

func placementOf(l pack.Layout, box pack.Part) (pack.Placement, bool) {
	for _, p := range l.Placements {
		if p.Part() == box {
			return p, true
		}
	}
	return pack.Placement{}, false
}

func samePlace(a, b pack.Placement) bool {
	return a.Centre == b.Centre && a.Up == b.Up && a.Front == b.Front && Degrees(a.Tilt) == Degrees(b.Tilt)
}

// editor changes lines of a text. Later places of a line are changed first.
type editor struct {
	lines   []string
	changes []change
}

// change replaces some runes of a line, counted from 0.
type change struct {
	line, from, to int
	with           string
}

func (e *editor) parse(text []byte) (*ast.MappingNode, error) {
	// The parser counts a line that ends as in Windows twice; a line and a column are the same.
	file, err := parser.ParseBytes(bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n")), parser.ParseComments)
	if err != nil || len(file.Docs) == 0 {
		return nil, fmt.Errorf("the layout file is no YAML: %w", err)
	}
	root, ok := file.Docs[0].Body.(*ast.MappingNode)
	if !ok {
		return nil, errors.New("the layout file is no mapping")
	}
	return root, nil
}

func valueOf(m *ast.MappingNode, key string) ast.Node {
	if v := entryOf(m, key); v != nil {
		return v.Value
	}
	return nil
}

func entryOf(m *ast.MappingNode, key string) *ast.MappingValueNode {
	for _, v := range m.Values {
		if v.Key.GetToken().Value == key {
			return v
		}
	}
	return nil
}

// placement puts the new place of a box into its node.
func (e *editor) placement(node *ast.MappingNode, was, now pack.Placement) {
	if was.Up != now.Up {
		e.scalar(valueOf(node, "up"), now.Up.String())
	}
	if was.Front != now.Front {
		e.scalar(valueOf(node, "front"), now.Front.String())
	}
	if centre, ok := valueOf(node, "centre_mm").(*ast.SequenceNode); ok && len(centre.Values) == 3 {
		old := []float64{was.Centre.X, was.Centre.Y, was.Centre.Z}
		for i, v := range []float64{now.Centre.X, now.Centre.Y, now.Centre.Z} {
			if v != old[i] {
				e.scalar(centre.Values[i], decimal(v))
			}
		}
	}
	if Degrees(was.Tilt) != Degrees(now.Tilt) {
		e.value(node, "tilt_deg", decimal(Degrees(now.Tilt)))
	}
	if was.Pinned != now.Pinned {
		e.value(node, "pinned", fmt.Sprint(now.Pinned))
	}
}

// hash says of which frame or pack a layout is now, where the file says it at all.
func (e *editor) hash(root *ast.MappingNode, key, of string) {
	if v := valueOf(root, key); v != nil && of != "" && v.GetToken().Value != of {
		e.scalar(v, strconv.Quote(of))
	}
}

// value sets a key that may not be there yet.
func (e *editor) value(node *ast.MappingNode, key, word string) {
	if v := valueOf(node, key); v != nil {
		e.scalar(v, word)
		return
	}
	if node.IsFlowStyle {
		at := node.End.Position
		e.changes = append(e.changes, change{at.Line - 1, at.Column - 1, at.Column - 1, ", " + key + ": " + word})
		return
	}
	first := node.Values[0].Key.GetToken().Position
	after := entryOf(node, "number").Value.GetToken().Position.Line - 1
	line := strings.TrimRight(e.lines[after], "\r\n")
	end := len([]rune(line))
	ending := cmp.Or(strings.TrimPrefix(e.lines[after], line), "\n")
	e.changes = append(e.changes, change{after, end, end, ending + strings.Repeat(" ", first.Column-1) + key + ": " + word})
}

// scalar replaces a word or number.
func (e *editor) scalar(node ast.Node, word string) {
	t := node.GetToken()
	at := t.Position
	from, length := at.Column-1, len([]rune(strings.TrimSpace(t.Origin)))
	if t.Type == token.DoubleQuoteType || t.Type == token.SingleQuoteType {
		length = len([]rune(t.Value)) + 2
	}
	e.changes = append(e.changes, change{at.Line - 1, from, from + length, word})
}

// dropOrder takes out the order in which the boxes went in, with the comment above it.
func (e *editor) dropOrder(root *ast.MappingNode) {
	entry := entryOf(root, "order")
	if entry == nil {
		return
	}
	from := entry.Key.GetToken().Position.Line - 1
	to := len(e.lines)
	for _, v := range root.Values {
		if l := v.Key.GetToken().Position.Line - 1; l > from && l < to {
			to = l
		}
	}
	for from > 0 && strings.HasPrefix(e.lines[from-1], "#") {
		from--
	}
	for i := from; i < to; i++ {
		e.lines[i] = ""
	}
}

// text is what came of all changes, the last of each line first.
func (e *editor) text() []byte {
	for n := len(e.changes) - 1; n >= 0; n-- {
		last := 0
		for i, c := range e.changes[:n+1] {
			if b := e.changes[last]; c.line > b.line || c.line == b.line && c.from > b.from {
				last = i
			}
		}
		c := e.changes[last]
		e.changes[last], e.changes[n] = e.changes[n], c
		line := []rune(e.lines[c.line])
		if c.to <= len(line) {
			e.lines[c.line] = string(line[:c.from]) + c.with + string(line[c.to:])
		}
	}
	return []byte(strings.Join(e.lines, ""))
}
