package main

import (
	"bufio"
	"context"
	"embed"
	"fmt"
	"io"
	"path"
	"regexp"
	"slices"
	"strings"
)

// pages are what there is to read, as Markdown: the repository shows it as it is, and
// `rackwright help PAGE` in plain words. A page has the name of the command or file that it
// tells of.
//
//go:embed help/*.md
var pages embed.FS

// pageOrder is how pages are listed: as one needs them. The rest follows by name.
var pageOrder = []string{"start", "words", "frame", "pack", "layout", "fit", "check", "mock", "report"}

// help shows a page, or, without a name, what there is. A command without a page of its own
// shows its options.
func help(args []string, s streams) int {
	if len(args) == 0 {
		usage(s.out)
		fmt.Fprint(s.out, "\nrackwright help PAGE shows one of these:\n\n")
		for _, name := range pageNames() {
			fmt.Fprintf(s.out, "  %-12s %s\n", name, title(helpPage(name)))
		}
		return exitFits
	}
	name := strings.ToLower(args[0])
	if slices.Contains(pageNames(), name) {
		plainText(s.out, helpPage(name))
		if isCommand(name) {
			fmt.Fprintf(s.out, "\nAll options: rackwright %s --help\n", name)
		}
		return exitFits
	}
	if isCommand(name) {
		return run(context.Background(), []string{name, "--help"}, s)
	}
	fmt.Fprintf(s.err, "rackwright help: there is no page %q; there are: %s\n", args[0], strings.Join(pageNames(), ", "))
	return exitUsage
}

func isCommand(name string) bool {
	return slices.ContainsFunc(commands(), func(c command) bool { return c.name == name })
}

// pageNames are those of all pages, in the order of pageOrder, then by name.
func pageNames() []string {
	entries, err := pages.ReadDir("help")
	if err != nil {
		panic(err) // it is part of the program
	}
	names := slices.Clone(pageOrder)
	for _, e := range entries {
		if name := strings.TrimSuffix(e.Name(), ".md"); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// helpPage is the Markdown of a page, empty for a name that is none.
func helpPage(name string) string {
	text, err := pages.ReadFile(path.Join("help", name+".md"))
	if err != nil {
		return ""
	}
	return string(text)
}

// title is the first heading of a page.
func title(markdown string) string {
	first, _, _ := strings.Cut(markdown, "\n")
	return strings.TrimLeft(first, "# ")
}

// What Markdown writes that a terminal does not need: links, bold and slanted words, code.
var (
	linkForm  = regexp.MustCompile(`\[([^\]]+)\]\([^)]+\)`)
	emphasis  = regexp.MustCompile(`\*\*([^*]+)\*\*|\*([^*\s][^*]*)\*`)
	codeMarks = regexp.MustCompile("`([^`]+)`")
)

// plainText writes a page as a terminal shows it: headings underlined, code set in, no marks.
func plainText(w io.Writer, markdown string) {
	inCode := false
	lines := bufio.NewScanner(strings.NewReader(markdown))
	for lines.Scan() {
		line := lines.Text()
		switch {
		case strings.HasPrefix(line, "```"):
			inCode = !inCode
		case inCode:
			fmt.Fprintln(w, strings.TrimRight("    "+line, " "))
		case strings.HasPrefix(line, "#"):
			heading := strings.TrimLeft(line, "# ")
			rule := map[bool]string{true: "=", false: "-"}[strings.HasPrefix(line, "# ")]
			fmt.Fprintf(w, "%s\n%s\n", heading, strings.Repeat(rule, len([]rune(heading))))
		default:
			fmt.Fprintln(w, withoutMarks(line))
		}
	}
}

func withoutMarks(line string) string {
	if strings.HasPrefix(line, "    ") {
		return line // code
	}
	line = linkForm.ReplaceAllString(line, "$1")
	line = emphasis.ReplaceAllString(line, "$1$2")
	return codeMarks.ReplaceAllString(line, "$1")
}
