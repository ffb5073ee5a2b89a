package sweep

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml"

	"rackwright/geom"
)

// ErrNoNumber is wrapped, with ErrSpec, where a file has no number at the path. The
// other file may have one.
var ErrNoNumber = fmt.Errorf("%w: there is no such number", ErrSpec)

// Set returns a file with the number at the path set to a value. Parts of a path are
// keys; names, or numbers from 1, of what stands in a list; L, W, H for sizes; x, y, z for
// points, x and z for those of outlines; right and left for widths given as two numbers.
// A gap that the file leaves at its default may be set as well. The error wraps ErrSpec,
// and ErrNoNumber where something else or nothing is there.
func (s Spec) Set(file []byte, value float64) ([]byte, error) {
	var root any
	if err := yaml.UnmarshalWithOptions(file, &root, yaml.UseOrderedMap()); err != nil {
		return nil, fmt.Errorf("%w: the file cannot be read: %w", ErrSpec, err)
	}
	changed, err := set(root, strings.Split(s.Path, "."), "", written(value))
	if err != nil {
		return nil, err
	}
	return yaml.MarshalWithOptions(changed, yaml.Flow(false))
}

// written is how a number stands in the file: whole ones without a point, as counts are.
func written(v float64) any {
	if v == math.Trunc(v) && math.Abs(v) < 1e9 {
		return int64(v)
	}
	return v
}

// set returns a node with the number at a path below it replaced. at is what the node is
// called.
func set(node any, path []string, at string, value any) (any, error) {
	if len(path) == 0 {
		return number(node, at, value)
	}
	switch n := node.(type) {
	case yaml.MapSlice:
		return setKey(n, path, at, value)
	case []any:
		i, err := index(n, path[0], at)
		if err != nil {
			return nil, err
		}
		below, err := set(n[i], path[1:], path[0], value)
		if err != nil {
			return nil, err
		}
		list := slices.Clone(n)
		list[i] = below
		return list, nil
	}
	return nil, fmt.Errorf("%w: %s is a value, and has no %q", ErrNoNumber, at, path[0])
}

func setKey(n yaml.MapSlice, path []string, at string, value any) (any, error) {
	var keys []string
	for i, item := range n {
		key := fmt.Sprint(item.Key)
		if key != path[0] {
			keys = append(keys, key)
			continue
		}
		below, err := set(item.Value, path[1:], key, value)
		if err != nil {
			return nil, err
		}
		out := slices.Clone(n)
		out[i].Value = below
		return out, nil
	}
	switch {
	case at == "gaps" && len(path) == 1 && slices.Contains(gapNames, path[0]):
		return append(slices.Clone(n), yaml.MapItem{Key: path[0], Value: value}), nil
	case at == "" && path[0] == "gaps" && len(path) == 2 && slices.Contains(gapNames, path[1]) && slices.Contains(keys, "pack"):
		return append(slices.Clone(n), yaml.MapItem{Key: "gaps", Value: yaml.MapSlice{{Key: path[1], Value: value}}}), nil
	}
	where := "the file"
	if at != "" {
		where = at
	}
	return nil, fmt.Errorf("%w: %s has no %q, only %s", ErrNoNumber, where, path[0], strings.Join(keys, ", "))
}

var gapNames = []string{"beside", "above", "wall", "rail", "keepout", "post", "boot", "entry"}

// letters name the numbers of a list by how many there are.
var letters = map[int][][]string{
	2: {{"x", "z"}, {"right", "left"}},
	3: {{"L", "W", "H"}, {"x", "y", "z"}},
}

// index finds an element of a list by its name, its letter or its number.
func index(list []any, part, at string) (int, error) {
	var names []string
	for i, e := range list {
		if m, ok := e.(yaml.MapSlice); ok {
			name := nameOf(m)
			if name == part {
				return i, nil
			}
			names = append(names, name)
		}
	}
	if len(names) == 0 && !slices.ContainsFunc(list, isList) {
		for _, l := range letters[len(list)] {
			if i := slices.Index(l, part); i >= 0 {
				return i, nil
			}
			names = append(names, l...)
		}
	}
	if i, err := strconv.Atoi(part); err == nil && i >= 1 && i <= len(list) {
		return i - 1, nil
	}
	if len(names) > 0 {
		return 0, fmt.Errorf("%w: %s has no %q, only %s, or a number from 1 to %d", ErrNoNumber, at, part, strings.Join(names, ", "), len(list))
	}
	return 0, fmt.Errorf("%w: %s has no %q, only numbers from 1 to %d", ErrNoNumber, at, part, len(list))
}

func isList(e any) bool {
	_, ok := e.([]any)
	return ok
}

func nameOf(m yaml.MapSlice) string {
	for _, item := range m {
		if item.Key == "name" {
			return fmt.Sprint(item.Value)
		}
	}
	return ""
}

// number replaces a number, or a text that is a length or a mass.
func number(node any, at string, value any) (any, error) {
	switch n := node.(type) {
	case int, int64, uint64, float64:
		return value, nil
	case string:
		if _, err := geom.ParseLength(n, geom.Millimetre); err == nil {
			return value, nil
		}
		if _, err := geom.ParseMass(n); err == nil {
			return value, nil
		}
		return nil, fmt.Errorf("%w: %s is the text %q", ErrNoNumber, at, n)
	case nil:
		return nil, fmt.Errorf("%w: %s is empty", ErrNoNumber, at)
	case bool:
		return nil, fmt.Errorf("%w: %s is yes or no", ErrNoNumber, at)
	}
	return nil, fmt.Errorf("%w: %s holds more than one value; name one of them", ErrNoNumber, at)
}
