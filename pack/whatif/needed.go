package whatif

import "rackwright/pack"

// Needed returns the notches that a layout takes in a keep-out that may be trimmed, no
// deeper than the keep-out allows: one for each case and post that stands nearer than
// its gap. Its errors are those of KeepOut.Core and of Problem.Bodies.
func Needed(problem pack.Problem, layout pack.Layout, keepOut int) ([]Notch, error) {
	k := problem.Frame.KeepOuts[keepOut]
	cut, err := newCutter(k, max(0, k.Trim-2*play))
	if err != nil {
		return nil, err
	}
	list, err := bodies(problem, layout, k)
	if err != nil {
		return nil, err
	}
	for _, b := range list {
		if cut.stock.near(b.bar, b.gap) {
			cut.cut(b, 0, false)
		}
	}
	return cut.notches, nil
}
