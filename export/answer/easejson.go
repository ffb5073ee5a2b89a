package answer

import (
	"rackwright/geom"
	"rackwright/pack/whatif"
)

// jsonEased is which one thing would give an answer.
type jsonEased struct {
	Gives    []jsonEasing `json:"gives"`
	Hopeless []string     `json:"proven_hopeless"`
	Open     []string     `json:"undecided"`
}

type jsonEasing struct {
	Change     string          `json:"change"`
	Name       string          `json:"name"`
	Words      string          `json:"words"`
	Tool       *jsonTool       `json:"tool,omitempty"`
	Posts      []string        `json:"posts,omitempty"` // whose cables are joined before their boxes go in
	Spare      float64         `json:"spare_mm"`
	Placements []jsonPlacement `json:"placements"`
	Order      []jsonStep      `json:"order"`
}

// jsonTool is the longest tool that was found to reach.
type jsonTool struct {
	Diameter float64 `json:"diameter_mm"`
	Length   float64 `json:"length_mm"`
	Longest  bool    `json:"proven_longest"`
}

func easedJSON(e *whatif.Eased, u geom.Unit) *jsonEased {
	if e == nil {
		return nil
	}
	out := &jsonEased{Gives: []jsonEasing{}, Hopeless: append([]string{}, e.Hopeless...), Open: append([]string{}, e.Open...)}
	for _, one := range e.Gives {
		j := jsonEasing{
			Change: one.By.String(), Name: one.Name, Words: printer{unit: u}.change(one), Spare: one.Report.Spare,
			Placements: placementsJSON(one.Layout), Order: orderJSON(one.Entry.Order),
		}
		if one.By == whatif.ShorterTool {
			j.Tool = &jsonTool{one.Tool.Diameter, one.Tool.Length, one.Longest}
		}
		for _, post := range one.Posts {
			j.Posts = append(j.Posts, post.String())
		}
		out.Gives = append(out.Gives, j)
	}
	return out
}
