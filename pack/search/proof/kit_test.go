package proof

import (
	"rackwright/pack"
	"rackwright/pack/search/model"
)

// modelOf is the model of a problem, without room for tools.
func modelOf(p pack.Problem) *model.Model {
	m, err := model.New(p, model.Options{})
	if err != nil {
		panic(err)
	}
	return m
}
