package page

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"
)

// Pictures of all that is made of the examples, to look at: RACKWRIGHT_SHOTS=DIR go test -run Shots
// runs fit and mock for each example into a folder of DIR, and makes PNGs there: of PDFs by pdftoppm, of
// SVGs by rsvg-convert, of the page by Chromium at 1400×1000 and at 390×844, light and dark, and as it is
// printed. RACKWRIGHT_SHOTS_OF=lane,trail makes those alone; folders of other names that hold a
// report.html are drawn as they are.
func TestShots(t *testing.T) {
	dir := os.Getenv("RACKWRIGHT_SHOTS")
	if dir == "" {
		t.Skip("RACKWRIGHT_SHOTS names no folder")
	}
	names := []string{"courier", "cargo", "lane", "trail"}
	if only := os.Getenv("RACKWRIGHT_SHOTS_OF"); only != "" {
		names = strings.Split(only, ",")
	}
	program := filepath.Join(t.TempDir(), "rackwright")
	run(t, "go", "build", "-o", program, "rackwright/cmd/rackwright")
	for _, name := range names {
		example, out := "../../testdata/"+name, filepath.Join(dir, name)
		files := []string{filepath.Join(example, "frame.yaml"), filepath.Join(example, "pack.yaml")}
		if _, err := os.Stat(files[0]); err == nil {
			// Whether it fits is their exit status.
			_ = exec.Command(program, append([]string{"fit", "--time", "5s", "--views", "left,rear,underneath", "--force", "--out", out}, files...)...).Run()
			_ = exec.Command(program, append([]string{"mock", "--form", "pdf", "--force", "--out", filepath.Join(out, "templates")}, files...)...).Run()
		}
		shoot(t, out)
	}
}

func run(t *testing.T, name string, args ...string) {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	require.NoError(t, err, string(out))
}

// shoot makes the pictures of a folder.
func shoot(t *testing.T, out string) {
	t.Helper()
	page := filepath.Join(out, "report.html")
	require.FileExists(t, page)
	for _, size := range [][2]int{{1400, 1000}, {390, 844}} {
		for _, scheme := range []string{"light", "dark"} {
			o := openFile(t, page, size[0])
			require.NoError(t, o.SetViewport(&proto.EmulationSetDeviceMetricsOverride{Width: size[0], Height: size[1], DeviceScaleFactor: 1}))
			o.prefers(scheme)
			o.settle()
			o.shootAll(filepath.Join(out, fmt.Sprintf("page-%d-%s", size[0], scheme)), size[0])
			if size[0] == 1400 && scheme == "light" {
				for paper, inches := range papers {
					data, err := os.ReadFile(o.print(inches))
					require.NoError(t, err)
					require.NoError(t, os.WriteFile(filepath.Join(out, "page-print-"+paper+".pdf"), data, 0o644))
				}
			}
			require.NoError(t, o.Close())
		}
	}
	for _, folder := range []string{out, filepath.Join(out, "templates")} {
		for ext, drawn := range map[string]func(path, to string){
			".pdf": func(path, to string) { run(t, "pdftoppm", "-r", "70", "-png", path, to) },
			".svg": func(path, to string) { run(t, "rsvg-convert", "-o", to+".png", path) },
		} {
			paths, err := filepath.Glob(filepath.Join(folder, "*"+ext))
			require.NoError(t, err)
			for _, path := range paths {
				drawn(path, strings.TrimSuffix(path, ext))
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

// print prints the page to a file, on paper of a size in inches.
func (o *opened) print(size [2]float64) string {
	o.t.Helper()
	pdf, err := o.PDF(&proto.PagePrintToPDF{PaperWidth: &size[0], PaperHeight: &size[1], PreferCSSPageSize: true})
	require.NoError(o.t, err)
	data, err := io.ReadAll(pdf)
	require.NoError(o.t, err)
	path := filepath.Join(o.t.TempDir(), "page.pdf")
	require.NoError(o.t, os.WriteFile(path, data, 0o600))
	return path
}
