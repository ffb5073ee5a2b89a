package mockup

import (
	"slices"

	"rackwright/export/answer"
	"rackwright/pack"
)

// withCautions adds to the words of a template what can hurt whoever handles the real boxes
// that it stands for, each once.
func withCautions(words []string, p *pack.Pack, kinds ...pack.Kind) []string {
	all := slices.Clone(words)
	for _, k := range kinds {
		for _, c := range answer.BoxCautions(p, k) {
			if !slices.Contains(all, c) {
				all = append(all, c)
			}
		}
	}
	return all
}
