package rackplan

import (
	"fmt"

	"github.com/golang/geo/r2"

	"rackwright/export/drawing"
)

// footHigh is the room in mm at the foot of a page, for bars to check the scale with.
const footHigh = 7.0

// Pages puts the parts at true size under one another on pages of a paper that lies on its side;
// no part crosses from one page to the next. What is longer than a page comes in strips.
func Pages(parts []Part, paper drawing.Paper, title string) []drawing.Drawing {
	size := r2.Point{X: max(paper.Size.X, paper.Size.Y), Y: min(paper.Size.X, paper.Size.Y)}
	var pages []drawing.Drawing
	top := 0.0
	for _, s := range strips(onPages(parts, paper), size.X-leftRoom-2*margin) {
		if len(pages) == 0 || top-s.Size.Y < footHigh+margin {
			pages = append(pages, blank(size, title, len(pages)+1))
			top = size.Y - margin - 3
		}
		top -= s.Size.Y
		pages[len(pages)-1].Add(s, 0, r2.Point{X: margin / 2, Y: top})
	}
	return pages
}

// onPage tells whether a part is low enough for a page.
func onPage(p Part, paper drawing.Paper) bool {
	return p.Sheet().Size.Y <= min(paper.Size.X, paper.Size.Y)-footHigh-2*margin-3
}

func onPages(parts []Part, paper drawing.Paper) []Part {
	var list []Part
	for _, p := range parts {
		if onPage(p, paper) {
			list = append(list, p)
		}
	}
	return list
}

// strips are the parts, each in as many strips as it needs: even ones, cut between holes.
func strips(parts []Part, room float64) []drawing.Drawing {
	var all []drawing.Drawing
	for _, p := range parts {
		for from := 0.0; from < p.Bar.Length(); {
			to := p.Bar.Length()
			if to-from > room {
				to = p.between(from + room)
			}
			all = append(all, p.strip(from, to))
			from = to
		}
	}
	return all
}

// between is a length along the part that is no more than one given, clear of its holes.
func (p Part) between(most float64) float64 {
	const clear = 12.0
	for at := most; at > most-100; at-- {
		ok := true
		for _, h := range p.Holes {
			ok = ok && (h.At < at-clear || h.At > at+clear)
		}
		if ok {
			return at
		}
	}
	return most
}

func blank(size r2.Point, title string, number int) drawing.Drawing {
	d := drawing.Drawing{Title: title, Size: size}
	d.TextFrom(r2.Point{X: margin + 4, Y: size.Y - margin}, 4, size.X-2*margin, fmt.Sprintf("%s, page %d. Print at 100 %%: check both bars. Seen from outside; measure holes from the left end.", title, number))
	d.CheckBar(r2.Point{X: margin + 4, Y: margin - 1}, 100, false, "100 mm")
	d.CheckBar(r2.Point{X: margin + 118, Y: margin - 1}, 4*25.4, false, "4 in")
	return d
}
