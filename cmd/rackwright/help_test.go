package main

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
)

// Every command and every file that a user writes has a page; pages fit a terminal of 100
// columns; the README, which is the front page, stays short and leads to each.
func TestHelpPages(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	require.LessOrEqual(t, strings.Count(string(readme), "\n"), 120)
	for _, name := range pageNames() {
		text := helpPage(name)
		require.True(t, strings.HasPrefix(text, "# "), "%s begins with its title", name)
		for n, line := range strings.Split(text, "\n") {
			require.LessOrEqual(t, len([]rune(line)), 100, "help/%s.md:%d", name, n+1)
		}
		require.Contains(t, string(readme), "(cmd/rackwright/help/"+name+".md)")
	}
	for _, c := range commands() {
		if c.name != "new" { // tells all in its own help
			require.Contains(t, pageNames(), c.name)
		}
	}
}

func TestHelpShowsPages(t *testing.T) {
	shown := func(status int, args ...string) string {
		var out, errs bytes.Buffer
		require.Equal(t, status, run(t.Context(), append([]string{"help"}, args...), streams{out: &out, err: &errs}))
		return out.String() + errs.String()
	}
	list := shown(exitFits)
	for _, name := range pageNames() {
		require.Contains(t, list, title(helpPage(name)))
		text := shown(exitFits, name)
		require.NotContains(t, text, "**")
		require.NotContains(t, text, "```")
	}
	require.Contains(t, shown(exitFits, "frame"), "\n    opening:\n      outline: ")
	require.Contains(t, shown(exitFits, "fit"), "rackwright fit --help")
	require.Contains(t, shown(exitFits, "new"), "Usage: rackwright new")
	require.Contains(t, shown(exitUsage, "sqeeze"), `no page "sqeeze"; there are: start, words`)
}

// What the starter frame has commented out can be put in by taking the marks away.
func TestStarterUncommented(t *testing.T) {
	section := starterFrame[strings.Index(starterFrame, "# vehicle:"):]
	whole := starterFrame[:len(starterFrame)-len(section)] + strings.ReplaceAll("\n"+section, "\n# ", "\n")
	f, err := frame.Read(strings.NewReader(whole), "bike.frame.yaml")
	require.NoError(t, err)
	require.Len(t, f.Vehicle.Wheels, 2)
	_, known := f.Vehicle.MassHeight()
	require.True(t, known)
	require.NotNil(t, f.Ground)
	require.Len(t, f.Moving, 4)
}
