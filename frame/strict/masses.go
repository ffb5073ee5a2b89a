package strict

import (
	"strconv"

	"github.com/goccy/go-yaml/ast"
)

// Masses are masses by the names of what weighs them, in the order of the file:
// {front: 58, rear: 71}.
type Masses []NamedMass

// NamedMass is one of Masses. An error about it is reported At its Mass.
type NamedMass struct {
	Name string
	Mass Mass
}

// Decode implements Custom.
func (m *Masses) Decode(d *Decoder, n ast.Node) {
	if !isObject(n) {
		d.at(n, WrongType, "this has to be names with masses such as {front: 58, rear: 71}, not %s", describe(n))
		return
	}
	entries := pairs(n)
	*m = make(Masses, len(entries))
	seen := map[string]bool{}
	for i, kv := range entries {
		one := &(*m)[i]
		one.Name = keyOf(kv)
		if seen[one.Name] {
			d.at(kv.Key, RepeatedKey, "the name %s stands here a second time", strconv.Quote(clip(one.Name)))
		}
		seen[one.Name] = true
		before := len(d.errs) + d.more
		one.Mass.Decode(d, kv.Value)
		d.places[&one.Mass] = place{kv.Value, len(d.errs)+d.more > before}
	}
}
