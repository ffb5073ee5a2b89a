package search

import (
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search/model"
)

// modelOfS is the model of a problem, without room for tools.
func modelOfS(p pack.Problem) *model.Model {
	m, err := model.New(p, model.Options{})
	if err != nil {
		panic(err)
	}
	return m
}

// withToolsS is the model of a problem with room for tools.
func withToolsS(p pack.Problem) *model.Model {
	tool := entry.DefaultTool()
	m, err := model.New(p, model.Options{Tool: &tool})
	if err != nil {
		panic(err)
	}
	return m
}
