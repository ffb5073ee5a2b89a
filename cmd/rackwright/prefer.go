package main

import (
	"fmt"
	"slices"
	"strings"

	"rackwright/pack/search"
)

// preferenceWords are the words of preferences.
func preferenceWords(all []search.Preference) []string {
	var words []string
	for _, p := range all {
		words = append(words, p.String())
	}
	return words
}

// preferences reads the words of --prefer; none means that nothing is preferred.
func preferences(words []string) ([]search.Preference, error) {
	every := search.AllPreferences()
	all := preferenceWords(every)
	list := []search.Preference{}
	for _, w := range words {
		i := slices.Index(all, strings.TrimSpace(w))
		switch {
		case w == "":
			continue
		case i < 0:
			return nil, fmt.Errorf("--prefer: %q is none of %s", w, strings.Join(all, ", "))
		case slices.Contains(list, every[i]):
			return nil, fmt.Errorf("--prefer: %q is there twice", w)
		}
		list = append(list, every[i])
	}
	return list, nil
}
