package rackplan

import (
	"bytes"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/export/view"
)

// Each bar's letter is in some picture: of the rack, or of its tray alone. The rack has its own
// hatch in all of them.
func TestEveryLetterIsInAPicture(t *testing.T) {
	a := example(t)
	shown := map[string]bool{}
	read := func(s *view.Scene, d view.Direction) {
		var b bytes.Buffer
		require.NoError(t, s.WriteView(&b, d))
		for _, m := range regexp.MustCompile(`<text class="rw-t rw-m rw-b rw-halo"[^>]*>([A-Z]+)</text>`).FindAllStringSubmatch(b.String(), -1) {
			shown[m[1]] = true
		}
		require.Regexp(t, `<pattern id="[^"]*rk"`, b.String())
	}
	whole, err := Pictures(a, view.Options{})
	require.NoError(t, err)
	for _, d := range view.Directions {
		read(whole, d)
	}
	for i, tray := range Trays(a.Rack) {
		before := shown
		shown = map[string]bool{}
		alone, err := TrayAlone(a, i, view.Options{})
		require.NoError(t, err)
		read(alone, view.FromTop)
		letters := lettersOf(a.Rack)
		for _, b := range a.Rack.Bars {
			if b.Tray == tray {
				require.True(t, shown[letters[b.Name]], "%s of the %s", b.Name, tray)
				delete(shown, "")
			}
		}
		for l := range before {
			shown[l] = true
		}
	}
	for _, p := range Parts(a.Rack) {
		require.True(t, shown[p.Letter], p.Letter)
	}
}
