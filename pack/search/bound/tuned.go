package bound

import "rackwright/pack/search/model"

// What was found by trying, on the problems of the benchmarks; TRIED.md, a folder above, says what
// else was tried.

// mostScaling is the work that a bound by scales may take: the inequalities grow with the third power
// of how many ways all kinds stand. What has not been refuted by then counts as allowed.
const mostScaling model.Effort = 300_000_000

// mostMixes is how many scales are added to a mix, one after the other.
const mostMixes = 200
