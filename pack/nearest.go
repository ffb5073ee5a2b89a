package pack

import "rackwright/geom"

// Position tells, of a relation of a layout with a part that moves, at which of its positions
// the part comes nearest, as measured, in words; false of other relations.
func (p Problem) Position(l Layout, r Relation) (string, bool) {
	body, found := p.bodyOf(l, r.A)
	for _, m := range p.Frame.Moving {
		if m.Name == r.B.Obstacle && found && m.Motion.Range.Length() > 0 && p.moves(m.Name) {
			at, _ := m.Nearest(body)
			return m.Position(at), true
		}
	}
	return "", false
}

// moves tells whether a name is that of a part that moves: a side of the opening may have it too.
func (p Problem) moves(name string) bool {
	for _, side := range p.Frame.Opening.Sides {
		if side == name {
			return false
		}
	}
	return true
}

// bodyOf is the case or the post that a part of a layout names.
func (p Problem) bodyOf(l Layout, part Part) (geom.Box, bool) {
	for _, at := range l.Placements {
		if at.Box != part.Box || at.Number != part.Number {
			continue
		}
		bodies, err := p.Bodies(at)
		if err != nil {
			return geom.Box{}, false
		}
		if part.Post == "" {
			return bodies.Case, true
		}
		kind, _ := p.Kind(at.Box)
		for i, post := range kind.Posts {
			if post.Name == part.Post {
				return bodies.Posts[i], true
			}
		}
	}
	return geom.Box{}, false
}
