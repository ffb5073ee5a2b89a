package page

import (
	"slices"

	"rackwright/export/answer"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/wire"
)

// sceneCable is a cable in three dimensions: straight pieces with round ends.
type sceneCable struct {
	Radius float64 `json:"radius"`
	Points []point `json:"points"`
	Step   int     `json:"step"` // of the steps of joining, at which it is put on
}

// sceneJoining is a step of making connections.
type sceneJoining struct {
	Words string `json:"words"`
}

func cablesOf(plan wire.Plan) []sceneCable {
	all := []sceneCable{}
	steps := plan.Steps()
	for i, j := range plan.Cables() {
		at := slices.IndexFunc(steps, func(s wire.Step) bool {
			cable, joins := plan.Joined(s)
			return joins && cable == i
		})
		one := sceneCable{Radius: rounded(plan.Cable.Outside() / 2), Step: at}
		for _, p := range j.Path.Line() {
			one.Points = append(one.Points, pointOf(p))
		}
		all = append(all, one)
	}
	return all
}

func joiningOf(plan wire.Plan) []sceneJoining {
	all := []sceneJoining{}
	for _, text := range answer.JoiningSteps(plan) {
		all = append(all, sceneJoining{text})
	}
	return all
}

// wiring is what the page tells of how the batteries are joined.
type wiring struct {
	Unwired string
	Words   []advice
	Head    []string
	Rows    [][]both
}

func wiringOf(p pack.Problem, l Layout) *wiring {
	if l.Wiring == nil {
		if l.Unwired == "" {
			return nil
		}
		return &wiring{Unwired: l.Unwired}
	}
	mm, in := answer.CableRows(p, *l.Wiring, geom.Millimetre), answer.CableRows(p, *l.Wiring, geom.Inch)
	w := &wiring{
		Words: adviceOf(answer.WiringParts(p, *l.Wiring, geom.Millimetre), answer.WiringParts(p, *l.Wiring, geom.Inch)),
		Head:  answer.CableHead(),
	}
	for i := range mm {
		w.Rows = append(w.Rows, pairs(mm[i].Cells(), in[i].Cells()))
	}
	return w
}
