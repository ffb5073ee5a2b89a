package survey

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Rule names what is wrong with a network.
type Rule int

const (
	Unfixed  Rule = iota // nothing holds a mark in its place
	Unclosed             // measurements that no places of the marks can have
	Twofold              // two networks suit the measurements
)

// Fault is what is wrong with a network and what to do. It is an error.
type Fault struct {
	Rule         Rule
	Marks        []int // the marks concerned, the first first
	Measurements []int // the measurements concerned
	Text         string
}

// Error says what is wrong and what to do.
func (f *Fault) Error() string { return f.Text }

func (n *Network) name(i int) string { return n.Marks[i].Name }

// PairName is the names of two marks, such as A–B.
func (n *Network) PairName(p Pair) string { return n.name(p.From) + "–" + n.name(p.To) }

// lonely finds a mark with fewer measurements than it needs to have a place.
func (n *Network) lonely() *Fault {
	count := make([]int, len(n.Marks))
	for _, m := range n.Measurements {
		count[m.From]++
		if m.Sort != Height {
			count[m.To]++
		}
	}
	for i := range n.Marks {
		if count[i] >= n.needs(i) {
			continue
		}
		return &Fault{Rule: Unfixed, Marks: []int{i}, Text: fmt.Sprintf("nothing fixes the mark %s: %s. Tape its distance to %s",
			n.name(i), howMany(count[i]), n.others(i))}
	}
	return nil
}

func howMany(count int) string {
	if count == 0 {
		return "no measurement touches it"
	}
	return "only one measurement touches it"
}

// needs is how many measurements a mark has to have at least.
func (n *Network) needs(i int) int {
	onLine := i == n.Datum.From || i == n.Datum.To
	switch {
	case n.Marks[i].At != nil:
		return 0
	case len(n.known()) > 0 || n.Datum.Free:
		return 2
	case i == n.Datum.Origin:
		return 0
	case onLine:
		return 1
	}
	return 2
}

// others names up to three other marks to tape from.
func (n *Network) others(i int) string {
	var names []string
	for k := range n.Marks {
		if k != i && len(names) < 3 && !n.Taped(Pair{i, k}) {
			names = append(names, n.name(k))
		}
	}
	switch len(names) {
	case 0:
		return "other marks"
	case 1:
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1] + " (two at least, not in line with it)"
}

// tooShort finds a distance that is less than what its ends lie apart across the vehicle.
func (n *Network) tooShort() *Fault {
	for i, m := range n.Measurements {
		if m.Sort != Distance {
			continue
		}
		if _, ok := n.flat(m); !ok {
			return &Fault{Rule: Unclosed, Marks: []int{m.From, m.To}, Measurements: []int{i}, Text: fmt.Sprintf(
				"%s is taped as %.4g, but %s and %s lie %.4g apart across the vehicle alone, by their y", n.PairName(Pair{m.From, m.To}), m.Value,
				n.name(m.From), n.name(m.To), math.Abs(n.Marks[m.To].Y-n.Marks[m.From].Y))}
		}
	}
	return nil
}

// open finds three distances that no triangle has, by more than all of them may be off.
func (n *Network) open() *Fault {
	for long := range n.Measurements {
		if f := n.openAt(long); f != nil {
			return f
		}
	}
	return nil
}

// openAt finds two distances that together do not reach along a third.
func (n *Network) openAt(long int) *Fault {
	m := n.Measurements[long]
	if m.Sort != Distance {
		return nil
	}
	reach, _ := n.flat(m)
	for a, p := range n.Measurements {
		via, ok := p.beyond(m.From)
		if !ok || a == long || via == m.To {
			continue
		}
		for b, q := range n.Measurements {
			if end, ok := q.beyond(via); !ok || end != m.To || b == long || b == a {
				continue
			}
			one, _ := n.flat(p)
			two, _ := n.flat(q)
			if gap := reach - one - two; gap > AtMost*(m.SD+p.SD+q.SD) {
				return &Fault{Rule: Unclosed, Marks: []int{m.From, via, m.To}, Measurements: []int{long, a, b}, Text: fmt.Sprintf(
					"the triangle %s, %s, %s cannot close: %s–%s and %s–%s together are %.4g mm shorter than %s–%s. One of the three is wrong: tape them again",
					n.name(m.From), n.name(via), n.name(m.To), n.name(m.From), n.name(via), n.name(via), n.name(m.To), gap, n.name(m.From), n.name(m.To))}
			}
		}
	}
	return nil
}

// beyond is the other end of a distance that starts or ends at a mark.
func (m Measurement) beyond(mark int) (int, bool) {
	switch {
	case m.Sort != Distance:
		return 0, false
	case m.From == mark:
		return m.To, true
	case m.To == mark:
		return m.From, true
	}
	return 0, false
}

// twofold is the fault of two networks that suit the measurements alike.
func (n *Network) twofold(a, b solution) *Fault {
	var names []string
	var marks []int
	for i := range n.Marks {
		if a.at[i].Sub(b.at[i]).Norm() > sameNetwork*span(a.at) {
			names, marks = append(names, n.name(i)), append(marks, i)
		}
	}
	text := fmt.Sprintf("the measurements allow two places for %s", listed(names))
	if p, ok := n.tells(a, b); ok {
		text += fmt.Sprintf(": tape %s too, or", n.PairName(p))
	} else {
		text += ":"
	}
	text += fmt.Sprintf(" say about where %s is, with near: [x, z] at the mark", names[0])
	return &Fault{Rule: Twofold, Marks: marks, Text: text}
}

// tells is the distance not taped that differs most between two networks.
func (n *Network) tells(a, b solution) (Pair, bool) {
	best, most := Pair{}, 0.0
	for _, p := range n.untaped() {
		difference := math.Abs(a.at[p.From].Sub(a.at[p.To]).Norm() - b.at[p.From].Sub(b.at[p.To]).Norm())
		if difference > most+sameNetwork*span(a.at) {
			best, most = p, difference
		}
	}
	return best, most > 0
}

// untaped are the pairs of marks whose distance is not measured.
func (n *Network) untaped() []Pair {
	var list []Pair
	for a := range n.Marks {
		for b := a + 1; b < len(n.Marks); b++ {
			both := n.Marks[a].At != nil && n.Marks[b].At != nil
			if p := (Pair{a, b}); !both && !n.Taped(p) {
				list = append(list, p)
			}
		}
	}
	return list
}

// listed joins names for a sentence.
func listed(names []string) string {
	const shown = 6
	if len(names) > shown {
		names = append(slices.Clone(names[:shown]), "others")
	}
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}
