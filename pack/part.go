package pack

import "fmt"

// Part is one end of a relation: a box, a post of it, or an obstacle of the frame.
// Parts can be compared.
type Part struct {
	Box      string // kind, empty for an obstacle
	Number   int
	Post     string // empty for the case
	Obstacle string
}

// String returns what the part is called: "battery 2", "battery 2 plus", "down-tube".
func (p Part) String() string {
	switch {
	case p.Obstacle != "":
		return p.Obstacle
	case p.Post != "":
		return fmt.Sprintf("%s %d %s", p.Box, p.Number, p.Post)
	}
	return fmt.Sprintf("%s %d", p.Box, p.Number)
}

// OfBox tells whether the part is the case or a post of the given box.
func (p Part) OfBox(box string, number int) bool {
	return p.Obstacle == "" && p.Box == box && p.Number == number
}
