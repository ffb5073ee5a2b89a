package start

import (
	"rackwright/pack"
	"rackwright/pack/entry"
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

// withTools is the model of a problem with room for tools.
func withTools(p pack.Problem) *model.Model {
	tool := entry.DefaultTool()
	m, err := model.New(p, model.Options{Tool: &tool})
	if err != nil {
		panic(err)
	}
	return m
}
