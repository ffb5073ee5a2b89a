package page

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"
)

// Pictures of pages to look at: RACKWRIGHT_SHOTS=DIR go test -run Shots, where DIR holds
// folders with a report.html each.
func TestShots(t *testing.T) {
	dir := os.Getenv("RACKWRIGHT_SHOTS")
	if dir == "" {
		t.Skip("RACKWRIGHT_SHOTS names no folder")
	}
	pages, err := filepath.Glob(dir + "/*/report.html")
	require.NoError(t, err)
	for _, path := range pages {
		for _, width := range []int{1280, 360} {
			for _, scheme := range []string{"light", "dark"} {
				o := openFile(t, path, width)
				require.NoError(t, proto.EmulationSetEmulatedMedia{Features: []*proto.EmulationMediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}.Call(o.Page))
				o.settle()
				base := filepath.Join(filepath.Dir(path), fmt.Sprintf("shot-%d-%s", width, scheme))
				for n := range 4 {
					_, err := o.Eval(`(y) => scrollTo(0, y)`, n*760)
					require.NoError(t, err)
					shot, err := o.Screenshot(false, nil)
					require.NoError(t, err)
					require.NoError(t, os.WriteFile(fmt.Sprintf("%s-%d.png", base, n), shot, 0o644))
				}
				if width == 1280 && scheme == "light" {
					pdf, err := o.PDF(&proto.PagePrintToPDF{PreferCSSPageSize: true})
					require.NoError(t, err)
					data, err := io.ReadAll(pdf)
					require.NoError(t, err)
					require.NoError(t, os.WriteFile(base+".pdf", data, 0o644))
				}
				t.Log(o.trouble)
				require.NoError(t, o.Close())
			}
		}
	}
}
