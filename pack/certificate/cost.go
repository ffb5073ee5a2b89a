package certificate

import (
	"errors"
	"io"
)

// Limits of a proof file, so that checking one takes less than 500 MB whatever it says.
const (
	// MostBytes is the size of the greatest file that Read takes.
	MostBytes = 32 << 20
	// mostCost is how many bytes what a file says may take in memory. The search writes
	// some 9 of them for each of the file.
	mostCost = 220 << 20
	// mostTerms is how many inequalities a sum may have. By Carathéodory's theorem those of a
	// linear program never need more than it has unknowns: 3 for each of 64 boxes, and one for
	// each of their poses.
	mostTerms = 20_000
	// mostChosen is how many choices may follow on each other.
	mostChosen = 1_000
	// mostFacts is how many sets of poses the lemmas may hold, one for each box.
	mostFacts = 2_000_000
)

// What the parts of a file take at most when they are read, in bytes: an object as the greatest
// type there is, Lemma, a list as an empty one with room for four numbers, a comma as a number of a
// list. While a list grows, the old one and the new one, a quarter longer, are there at once.
const (
	objectCost = 160 * 9 / 4
	listCost   = 24*9/4 + 32
	commaCost  = 8 * 9 / 4
)

var errTooMuch = errors.New("it holds more objects, lists and numbers than are checked")

// counted reads JSON and adds up what it will take to hold it, before it is held.
type counted struct {
	r               io.Reader
	cost            int
	inText, escaped bool
}

// Read implements io.Reader.
func (c *counted) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	for _, b := range p[:n] {
		c.count(b)
	}
	if c.cost > mostCost {
		return n, errTooMuch
	}
	return n, err
}

func (c *counted) count(b byte) {
	switch {
	case c.escaped:
		c.escaped = false
	case b == '"':
		c.inText = !c.inText
	case c.inText:
		c.escaped = b == '\\'
	case b == '{':
		c.cost += objectCost
	case b == '[':
		c.cost += listCost
	case b == ',':
		c.cost += commaCost
	}
}
