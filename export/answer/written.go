package answer

import (
	"path/filepath"
	"strconv"
	"strings"
)

// Stale is said of files that an earlier run wrote and this one did not.
const Stale = "Also in the folder, and not of this run (they may be of other boxes or layouts)"

// files lists files after a title, those of a folder together.
func (p printer) files(title string, paths []string) {
	if len(paths) == 0 {
		return
	}
	p.line("\n%s:", title)
	var folders []string
	names := map[string][]string{}
	for _, path := range paths {
		dir, name := filepath.Split(path)
		if names[dir] == nil {
			folders = append(folders, dir)
		}
		names[dir] = append(names[dir], name)
	}
	for _, dir := range folders {
		head := ""
		if dir != "" {
			head = strconv.Quote(dir) + ": "
		}
		for _, line := range Listed(head, names[dir]) {
			p.line("  %s", line)
		}
	}
}

// wide is how many characters of names are put into a line.
const wide = 96

// Listed lists names of files after a head, several to a line. What a terminal might act on
// in a name is shown as it is written in Go.
func Listed(head string, names []string) []string {
	lines := []string{head}
	for i, name := range names {
		word := strings.Trim(strconv.Quote(name), `"`)
		if i < len(names)-1 {
			word += ", "
		}
		last := &lines[len(lines)-1]
		if len([]rune(*last+word)) > wide && *last != head {
			*last = strings.TrimRight(*last, " ")
			lines = append(lines, "  "+word)
			continue
		}
		*last += word
	}
	return lines
}
