package mockup

import "rackwright/pack"

// Make makes all mock-ups of a problem, in the forms asked for.
func Make(p pack.Problem, s Settings) (Result, error) {
	var all Result
	for _, f := range []func(pack.Problem, Settings) (Result, error){Cards, Gauges, Silhouettes} {
		r, err := f(p, s)
		if err != nil {
			return all, err
		}
		all.Files = append(all.Files, r.Files...)
		all.Notes = append(all.Notes, r.Notes...)
	}
	return all, nil
}
