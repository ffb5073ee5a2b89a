package mockup

import (
	"fmt"
	"slices"

	"rackwright/export"
	"rackwright/export/block"
	"rackwright/export/drawing"
	"rackwright/export/gauge"
	"rackwright/pack"
	"rackwright/pack/whatif"
)

// Gauges makes the gauge of the opening and those across it: together on paper.
func Gauges(p pack.Problem, s Settings) (Result, error) {
	var r Result
	words := []string{
		"Thick, with scissors: cut out along it and hold into the frame from the side. Where it does not go in, or leaves a gap, measure again.",
		"Thin: rails. Dotted: keep-outs; cut the gauge away where one stands in its way. Circles: mounts.",
	}
	across := []string{"Hold the strips across the opening, square to the vehicle, the long line at its height. They are to go in without force and without a gap."}
	whole := gauge.Opening(p.Frame)
	r.flat(s, "gauge-opening", whole, words)
	pieces := []drawing.Drawing{whole}
	for i, d := range gauge.Across(p.Frame) {
		r.flat(s, fmt.Sprintf("gauge-across-%d", i+1), d, across)
		pieces = append(pieces, d)
	}
	r.paper(s, "gauges", drawing.Set{Title: "Gauges of " + p.Frame.Name, Pieces: pieces}, slices.Concat(words, across))
	return r, nil
}

// Silhouettes makes flat outlines of keep-outs, kinds of box and the layout: together on paper.
func Silhouettes(p pack.Problem, s Settings) (Result, error) {
	var r Result
	words := []string{"Flat outlines at true size: cut out along the thick lines, and hold into the frame for a quick look."}
	files := export.FileNames(slices.Concat(keepOuts(p), kinds(p), moving(p)))
	var all []drawing.Drawing
	add := func(i int, name string, pieces []drawing.Drawing, words []string) {
		r.flat(s, "silhouette-"+files[i], gauge.Row("Silhouettes: "+name, pieces), words)
		for _, d := range pieces {
			if words, ok := s.inWords(d); ok {
				d = words
			}
			all = append(all, d)
		}
	}
	for i, k := range p.Frame.KeepOuts {
		add(i, k.Name, gauge.OfKeepOut(p.Frame, i), words)
	}
	for i, k := range p.Pack.Kinds {
		pieces, err := gauge.OfKind(p, k)
		if err != nil {
			return r, err
		}
		add(len(p.Frame.KeepOuts)+i, k.Name, pieces, withCautions(words, p.Pack, k))
	}
	for i, m := range p.Frame.Moving {
		add(len(p.Frame.KeepOuts)+len(p.Pack.Kinds)+i, m.Name, gauge.OfMoving(p.Frame, i), words)
	}
	r.paper(s, "silhouettes", drawing.Set{Title: "Silhouettes", Pieces: all}, withCautions(words, p.Pack, p.Pack.Kinds...))
	if s.Layout == nil {
		return r, nil
	}
	whole, pieces, err := gauge.OfLayout(p, *s.Layout, s.Name)
	if err != nil {
		return r, err
	}
	words = withCautions(append(words, "Each piece says which boxes it shows and where it goes: tape it to the gauge of the opening there."), p.Pack, p.Pack.Kinds...)
	r.flat(s, "silhouette-of-layout", whole, words)
	r.paper(s, "silhouette-of-layout", drawing.Set{Title: "Silhouettes", Pieces: pieces}, words)
	return r, nil
}

// inWords are a piece's words alone, where sheets of paper need no more.
func (s Settings) inWords(d drawing.Drawing) (words drawing.Drawing, ok bool) {
	if s.Paper == nil {
		return words, false
	}
	return gauge.InWords(d, *s.Paper)
}

// Notches makes a template for each keep-out that is notched for the layout; where the layout
// does not hold even so, for each that may be trimmed and that it comes too near to.
func Notches(p pack.Problem, s Settings) (Result, error) {
	var r Result
	switch {
	case s.Layout == nil:
		return r, nil
	case s.Taken != nil:
		return NotchesOf(p, s, "", *s.Taken)
	}
	files := export.FileNames(keepOuts(p))
	for i, k := range p.Frame.KeepOuts {
		if k.Trim <= 0 {
			continue
		}
		cuts, err := whatif.Needed(p, *s.Layout, i)
		if err != nil {
			r.note("No notch is drawn: %v.", err)
			continue
		}
		if err := r.notch(p, s, i, "notch-"+files[i], cuts); err != nil {
			return r, err
		}
	}
	return r, nil
}

// NotchesOf makes the templates and solids of the notches of a concession, with names that
// begin with a prefix.
func NotchesOf(p pack.Problem, s Settings, prefix string, c whatif.Concession) (Result, error) {
	var r Result
	for i, file := range export.FileNames(keepOuts(p)) {
		var cuts []whatif.Notch
		for _, n := range c.Notches {
			if n.KeepOut == p.Frame.KeepOuts[i].Name {
				cuts = append(cuts, n)
			}
		}
		if err := r.notch(p, s, i, prefix+"notch-"+file, cuts); err != nil {
			return r, err
		}
	}
	return r, nil
}

// notch adds what is cut out of one keep-out, as a template and as a solid.
func (r *Result) notch(p pack.Problem, s Settings, keepOut int, file string, cuts []whatif.Notch) error {
	if len(cuts) == 0 {
		return nil
	}
	n := gauge.NotchOf(p.Frame, keepOut, cuts)
	words := append(n.Where(p.Frame.Unit),
		"Thick, with scissors: the shape to cut away. Thin: the outline of the keep-out, to lay the template on.",
		"A tank that held fuel explodes when it is cut: leave it to someone qualified. Cut nothing that carries load.",
	)
	d := n.Drawing(p.Frame.Unit)
	r.flat(s, file, d, words)
	r.paper(s, file, drawing.Set{Title: d.Title, Pieces: n.Pieces(p.Frame.Unit)}, words)
	if !s.has(STL) && !s.has(ThreeMF) {
		return nil
	}
	piece, one, err := block.OfNotch("notch in "+n.KeepOut, n.Solids(), 1)
	if err != nil {
		return err
	}
	r.solids(s, file, []block.Piece{piece})
	r.note("%s as a solid is what is cut away of %s, at true size whatever the scale: to hold against it before the cut, and into the cut after.", file, n.KeepOut)
	if !one {
		r.note("%s is made of surfaces that run into each other: let the slicer join them.", file)
	}
	if !piece.Goes(s.Print.Bed) {
		r.note("%s is larger than the printer: take the template.", file)
	}
	return nil
}
