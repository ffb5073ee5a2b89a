package pack

// Report is what Check says of a layout.
type Report struct {
	Relations []Relation // worst first: by Left, then by the order of the files
	Faults    []Fault
	Warnings  []Fault // that a file has changed since; they do not count against the layout
	Spare     float64 // the least Left; +Inf when there is no relation
}

// Holds tells whether the layout is an answer: no fault, and spare at least 0.
func (r Report) Holds() bool { return len(r.Faults) == 0 && r.Spare >= 0 }

// Tightest returns the relation with the least left, and false when there is none.
func (r Report) Tightest() (Relation, bool) {
	if len(r.Relations) == 0 {
		return Relation{}, false
	}
	return r.Relations[0], true
}

// ForPart returns the relations of exactly this part (a case without its posts, a
// post, an obstacle), worst first.
func (r Report) ForPart(part Part) []Relation {
	return r.relationsWith(func(p Part) bool { return p == part })
}

// ForBox returns the relations of a box, posts included, worst first.
func (r Report) ForBox(box string, number int) []Relation {
	return r.relationsWith(func(p Part) bool { return p.OfBox(box, number) })
}

func (r Report) relationsWith(wanted func(Part) bool) []Relation {
	var list []Relation
	for _, n := range r.Relations {
		if wanted(n.A) || wanted(n.B) {
			list = append(list, n)
		}
	}
	return list
}

// Check judges a layout: whether every box is there once, in a stand and tilt that
// the pack allows, and how much of its required gap every relation has left.
//
// Relations are those of each case and each post with the cases and posts of all
// other boxes and with everything of the frame. A thing of the frame that consists
// of several solids (the two tubes of a mirrored rail have two names and are two
// things) gives one relation with each part: that of the solid with the least left,
// with the shortest distance to any of them. Placements with a fault have no
// relations. The problem must be one that NewProblem accepts.
//
// The figures carry the rounding of float64, below geom.Tolerance; what is no farther than
// that from its required gap has exactly 0 left. The report does
// not depend on the order of the placements. Who asks often of one problem makes a Judge.
func Check(problem Problem, layout Layout) Report {
	return NewJudge(problem).Check(layout)
}
