package pack

// NumberCovered are the boxes of a layout that are in the way of who reads the frame number; none
// where the frame file does not say where that is.
func (p Problem) NumberCovered(l Layout) []Part {
	var all []Part
	if p.Frame.Number == nil {
		return nil
	}
	for _, at := range l.Placements {
		bodies, err := p.Bodies(at)
		if err != nil {
			continue // the judge tells
		}
		covers := p.Frame.Number.CoveredBy(bodies.Case)
		for _, post := range bodies.Posts {
			covers = covers || p.Frame.Number.CoveredBy(post)
		}
		if covers {
			all = append(all, at.Part())
		}
	}
	return all
}
