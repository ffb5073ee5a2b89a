package improve

import (
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// roomy tells whether geom measures that the tools over two boxes have their room.
func roomy(m *model.Model, spots []model.Spot) bool {
	tool := entry.DefaultTool()
	return kit.Roomy(m.Problem, tool.Diameter, tool.Length, m.Layout(spots))
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

// modelOf is the model of a problem, without room for tools.
func modelOf(p pack.Problem) *model.Model {
	m, err := model.New(p, model.Options{})
	if err != nil {
		panic(err)
	}
	return m
}
