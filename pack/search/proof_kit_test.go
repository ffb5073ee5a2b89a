package search

import (
	"rackwright/pack"
	"rackwright/pack/search/model"
)

// modelOfP is the model of a problem, without room for tools.
func modelOfP(p pack.Problem) *model.Model {
	m, err := model.New(p, model.Options{})
	if err != nil {
		panic(err)
	}
	return m
}
