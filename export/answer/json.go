package answer

import (
	"io"

	"rackwright/export"
	"rackwright/export/layoutfile"
	"rackwright/pack"
	"rackwright/pack/balance"
	"rackwright/pack/search"
)

type jsonAnswer struct {
	export.PackHead
	Verdict string   `json:"verdict"`
	Proven  bool     `json:"proven"`
	Stopped string   `json:"stopped"`
	Spare   *float64 `json:"spare_mm"`
	Bound   *float64 `json:"bound_mm"`
	// BoundGoesIn tells that bound_mm is of layouts that go in alone.
	BoundGoesIn bool         `json:"bound_goes_in,omitempty"`
	Reason      string       `json:"reason,omitempty"`
	Doubts      []string     `json:"doubts,omitempty"`     // what in the files is likely not meant as it reads
	InOpening   []string     `json:"in_opening,omitempty"` // rails and keep-outs that boxes go around
	Restricted  string       `json:"restricted,omitempty"` // by pins and ranges, of which bound and proof speak
	Layouts     []jsonLayout `json:"layouts"`
	// ByLevels is what was found to stand on one level, two levels and so on.
	ByLevels []jsonRow `json:"by_levels,omitempty"`

	Written []string `json:"written,omitempty"`
	Unmade  bool     `json:"files_left_out,omitempty"` // there was no time for all
	Stale   []string `json:"stale,omitempty"`          // beside them, of an earlier run

	Limit    *jsonLimit    `json:"limit,omitempty"`
	Sure     *jsonSure     `json:"sure,omitempty"`
	Eased    *jsonEased    `json:"one_thing,omitempty"`
	Conceded *jsonConceded `json:"concessions,omitempty"`
	Changes  []jsonChange  `json:"changes,omitempty"`
	Rack     *jsonRackRoom `json:"rack_room,omitempty"`
}

// jsonRackRoom is what a search kept free for a rack.
type jsonRackRoom struct {
	Beside float64 `json:"beside_mm"`
	Ends   float64 `json:"ends_mm"`
	Under  float64 `json:"under_mm"`
	Over   float64 `json:"over_mm"`
	Built  bool    `json:"built"`
	Lack   float64 `json:"lack_mm"`
	Proven bool    `json:"proven"`

	Rows  string         `json:"nearest_rows,omitempty"`
	Wants []jsonRackWant `json:"lacks,omitempty"`
	Why   []string       `json:"why,omitempty"`
}

// jsonRackWant is room that lacks for a rack.
type jsonRackWant struct {
	At    string  `json:"at"`
	Short float64 `json:"short_mm"`
	Key   string  `json:"key"`
}

func rackRoomJSON(k *RackRoom) *jsonRackRoom {
	if k == nil {
		return nil
	}
	j := &jsonRackRoom{Beside: k.Beside, Ends: k.Ends, Under: k.Under, Over: k.Over, Built: k.Built, Lack: k.Lack, Proven: k.Proven, Rows: k.Rows, Why: k.Why}
	for _, w := range k.Wants {
		j.Wants = append(j.Wants, jsonRackWant(w))
	}
	return j
}

type jsonLayout struct {
	Spare       float64         `json:"spare_mm"`
	Why         []string        `json:"why"`
	Stands      bool            `json:"stands"`
	Levels      []jsonLevel     `json:"levels"`
	Packing     []jsonFilling   `json:"packing,omitempty"` // of a layout that stands
	Tightest    []string        `json:"tightest"`
	Concessions []string        `json:"concessions"`
	Placements  []jsonPlacement `json:"placements"`
	Order       []jsonStep      `json:"order"`
	Posts       []string        `json:"posts"`
	Hindered    string          `json:"hindered,omitempty"`
	Balance     *jsonBalance    `json:"balance,omitempty"` // where the frame file tells of a vehicle
}

type jsonPlacement struct {
	Box    string     `json:"box"`
	Number int        `json:"number"`
	Up     string     `json:"up"`
	Front  string     `json:"front"`
	Tilt   float64    `json:"tilt_deg"`
	Centre [3]float64 `json:"centre_mm"`
}

// WriteJSON writes the result as one JSON object and a line end.
func WriteJSON(w io.Writer, in Input) error {
	r := in.Result
	out := jsonAnswer{
		PackHead: export.PackHeadOf(in.Problem),
		Verdict:  r.Verdict.String(), Proven: r.Proven, Stopped: r.Stopped.String(),
		Spare: export.Finite(r.Spare), Bound: export.Finite(r.Bound), BoundGoesIn: r.Entering, Reason: r.Reason, Restricted: in.Problem.Restrictions(), Layouts: []jsonLayout{}, ByLevels: rowsJSON(r.Levels),
		Doubts: Doubts(in.Problem), InOpening: InOpening(in.Problem.Frame),
		Written: in.Written, Unmade: in.Unmade, Stale: in.Stale,
		Limit: limitJSON(in.Limit), Sure: sureJSON(in), Eased: easedJSON(in.Eased, in.Problem.Pack.Unit), Conceded: concededJSON(in.Conceded), Changes: changesJSON(in.Changes), Rack: rackRoomJSON(in.Rack),
	}
	for _, l := range r.Layouts {
		out.Layouts = append(out.Layouts, layoutJSON(in.Problem, l))
	}
	// Those that take concessions come after those of the frame as it is.
	if in.Conceded != nil {
		for _, c := range in.Conceded.Fits {
			l := layoutJSON(in.Problem, c.Found)
			l.Concessions = printer{unit: in.Problem.Pack.Unit}.used(c)
			out.Layouts = append(out.Layouts, l)
		}
	}
	return export.WriteJSON(w, out)
}

// writeObject writes an object over several lines, and a line end.
func layoutJSON(problem pack.Problem, f search.Found) jsonLayout {
	s := pack.StandingOf(problem, f.Layout)
	l := jsonLayout{
		Spare: f.Report.Spare, Why: whyJSON(f.Why), Stands: s.Stands() && f.Report.Holds(), Levels: levelsJSON(s), Tightest: []string{}, Concessions: []string{}, Placements: placementsJSON(f.Layout),
		Order: orderJSON(f.Entry.Order), Posts: postsJSON(f.Entry), Hindered: Hindered(f.Entry),
	}
	if l.Stands {
		l.Packing = packingJSON(s)
	}
	if problem.Frame.Vehicle != nil {
		b := balanceJSON(problem, NamedBalance{Balance: balance.Of(problem, f.Layout)})
		l.Balance = &b
	}
	if t, ok := f.Report.Tightest(); ok {
		l.Tightest = []string{t.A.String(), t.B.String()}
	}
	return l
}

func placementsJSON(l pack.Layout) []jsonPlacement {
	list := []jsonPlacement{}
	for _, p := range l.Placements {
		list = append(list, jsonPlacement{
			Box: p.Box, Number: p.Number, Up: p.Up.String(), Front: p.Front.String(),
			Tilt: layoutfile.Degrees(p.Tilt), Centre: [3]float64{p.Centre.X, p.Centre.Y, p.Centre.Z},
		})
	}
	return list
}
