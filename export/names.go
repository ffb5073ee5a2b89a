package export

import (
	"fmt"
	"strings"
)

// FileNames turns names into parts of file names that every system takes, all
// different: ASCII letters and digits in lower case, hyphens for all else. The same
// names give the same result.
func FileNames(names []string) []string {
	seen := map[string]bool{}
	list := make([]string, 0, len(names))
	for _, name := range names {
		base := plain(name)
		unique := base
		for n := 2; seen[unique]; n++ {
			unique = fmt.Sprintf("%s-%d", base, n)
		}
		seen[unique] = true
		list = append(list, unique)
	}
	return list
}

// longest is how many characters of a name a file name keeps.
const longest = 40

func plain(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	text := strings.Trim(b.String()[:min(b.Len(), longest)], "-")
	if text == "" {
		return "box"
	}
	return text
}
