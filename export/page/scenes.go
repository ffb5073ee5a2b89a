package page

import (
	"encoding/json"

	"rackwright/pack"
)

// Scene is the JSON of what the script draws: the frame, the kinds of boxes, the layouts.
func Scene(in Input) (json.RawMessage, error) { return json.Marshal(sceneOf(in)) }

// LayoutScene is that of one layout alone, to be drawn in a scene of the same problem.
func LayoutScene(problem pack.Problem, l Layout) (json.RawMessage, error) {
	return json.Marshal(layoutOf(problem, l))
}
