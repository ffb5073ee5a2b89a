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
	require.NotEmpty(t, pages)
	for _, path := range pages {
		for _, width := range []int{1280, 360} {
			for _, scheme := range []string{"light", "dark"} {
				o := openFile(t, path, width)
				o.prefers(scheme)
				o.settle()
				base := filepath.Join(filepath.Dir(path), fmt.Sprintf("shot-%d-%s", width, scheme))
				o.shootAll(base, width)
				if width == 1280 && scheme == "light" {
					o.printed(base + ".pdf")
				}
				require.NoError(t, o.Close())
			}
		}
	}
}

// prefers is the colour scheme that the reader has chosen in the system.
func (o *opened) prefers(scheme string) {
	o.t.Helper()
	require.NoError(o.t, proto.EmulationSetEmulatedMedia{Features: []*proto.EmulationMediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}.Call(o.Page))
}

// shootAll takes the whole page, in pictures that are not too high to be looked at.
func (o *opened) shootAll(base string, width int) {
	o.t.Helper()
	const piece = 1500.0
	high, err := o.Eval(`() => { scrollTo(0, 0); return document.documentElement.scrollHeight; }`)
	require.NoError(o.t, err)
	for n := 0; float64(n)*piece < high.Value.Num(); n++ {
		y := float64(n) * piece
		shot, err := proto.PageCaptureScreenshot{
			Format: proto.PageCaptureScreenshotFormatPng, CaptureBeyondViewport: true,
			Clip: &proto.PageViewport{Y: y, Width: float64(width), Height: min(piece, high.Value.Num()-y), Scale: 1},
		}.Call(o)
		require.NoError(o.t, err)
		require.NoError(o.t, os.WriteFile(fmt.Sprintf("%s-%d.png", base, n), shot.Data, 0o644))
	}
}

func (o *opened) printed(path string) {
	o.t.Helper()
	pdf, err := o.PDF(&proto.PagePrintToPDF{PreferCSSPageSize: true})
	require.NoError(o.t, err)
	data, err := io.ReadAll(pdf)
	require.NoError(o.t, err)
	require.NoError(o.t, os.WriteFile(path, data, 0o644))
}
