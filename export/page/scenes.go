package page

import (
	"encoding/json"

	"rackwright/export/view"
	"rackwright/pack"
)

// Scene is the JSON of what the script draws: the frame, the kinds of boxes, the layouts.
func Scene(in Input) (json.RawMessage, error) { return json.Marshal(sceneOf(in)) }

// LayoutScene is that of one layout alone, to be drawn in a scene of the same problem, with
// measures of its own.
func LayoutScene(problem pack.Problem, l Layout, measures []view.Measure) (json.RawMessage, error) {
	s := layoutOf(problem, l)
	s.Measures = measuresOf(measures)
	return json.Marshal(s)
}
