package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// inspected is an example with a vehicle and a frame number added, in files of their own.
func inspectedExample(t *testing.T, number string) (framePath, packPath, layoutPath, rackPath string) {
	t.Helper()
	const example = "../../testdata/trail/"
	frameText, err := os.ReadFile(example + "frame.yaml")
	require.NoError(t, err)
	framePath = filepath.Join(t.TempDir(), "frame.yaml")
	require.NoError(t, os.WriteFile(framePath, []byte(string(frameText)+`
vehicle:
  wheels: [{name: front, at: [780, 0], radius: 300}, {name: rear, at: [-560, 0], radius: 300}]
  weighed: {front: 58.3, rear: 71.2}
  before: {front: 71, rear: 82}
  allowed: {front: 150, rear: 230}
  riders: [{name: rider, mass: 80, at: [-100, 0, 650]}]
`+number), 0o644))
	return framePath, example + "pack.yaml", example + "rack-layout.yaml", "../../pack/rack/judge/testdata/trail-rack.yaml"
}

// out runs a command line and returns what it prints.
func out(t *testing.T, status int, args ...string) string {
	t.Helper()
	var said, errs bytes.Buffer
	require.Equal(t, status, run(context.Background(), args, streams{out: &said, err: &errs}), errs.String())
	return said.String()
}

// sheetOf makes the page with the sheet, and returns its fields by their names, and the rows of its
// tables as their cells.
func sheetOf(t *testing.T, status int, args ...string) (fields map[string]string, rows [][]string) {
	t.Helper()
	dir := t.TempDir()
	out(t, status, append(append([]string{"report"}, args...), "--inspection", "--out", dir)...)
	require.FileExists(t, filepath.Join(dir, "inspection-a4.pdf"))
	require.FileExists(t, filepath.Join(dir, "inspection-letter.pdf"))
	page, err := os.ReadFile(filepath.Join(dir, reportName))
	require.NoError(t, err)
	_, sheet, _ := strings.Cut(string(page), `<section id="inspection"`)
	sheet, _, _ = strings.Cut(sheet, "</section>")
	require.NotEmpty(t, sheet)
	fields = map[string]string{}
	inches := regexp.MustCompile(`<span class="u-in">.*?</span>`)
	tags := regexp.MustCompile(`<[^>]*>`)
	for _, m := range regexp.MustCompile(`<dt>(.*?)</dt><dd[^>]*>(.*?)</dd>`).FindAllStringSubmatch(sheet, -1) {
		fields[m[1]] = tags.ReplaceAllString(inches.ReplaceAllString(m[2], ""), "")
	}
	for _, m := range regexp.MustCompile(`(?s)<tr>(<th scope="row">.*?)</tr>`).FindAllStringSubmatch(sheet, -1) {
		var cells []string
		for _, c := range regexp.MustCompile(`<t[hd][^>]*>(.*?)</t[hd]>`).FindAllStringSubmatch(m[1], -1) {
			cells = append(cells, c[1])
		}
		rows = append(rows, cells)
	}
	return fields, rows
}

// Every figure on the sheet is that of its own command: balance, wire, and check of the rack; how
// wide the boxes are is worked out anew from the files.
func TestFiguresOfTheInspectionAreThoseOfTheirCommands(t *testing.T) {
	framePath, packPath, layoutPath, rackPath := inspectedExample(t, "")
	fields, rows := sheetOf(t, exitFits, framePath, packPath, layoutPath, "--rack", rackPath)

	var weighed struct {
		Mass   float64 `json:"mass_kg"`
		Wheels map[string]struct {
			Now     float64 `json:"now_kg"`
			With    float64 `json:"with_kg"`
			Before  float64 `json:"before_kg"`
			Allowed float64 `json:"allowed_kg"`
		} `json:"wheels"`
	}
	require.NoError(t, json.Unmarshal([]byte(out(t, exitFits, "balance", framePath, packPath, layoutPath, "--json")), &weighed))
	require.Equal(t, fmt.Sprintf("%.1f kg", weighed.Mass), fields["Vehicle with the boxes"])
	require.Equal(t, "129.5 kg", fields["Vehicle as it was weighed, nothing packed"])
	require.Equal(t, fmt.Sprintf("%.1f kg", weighed.Mass-129.5), fields["Boxes packed"])
	loads := 0
	for _, row := range rows {
		if w, ok := weighed.Wheels[row[0]]; ok {
			loads++
			kg := func(v float64) string { return fmt.Sprintf("%.1f", v) }
			require.Equal(t, []string{row[0], kg(w.Before), kg(w.Now), kg(w.With)}, row[:4])
			require.Equal(t, []string{kg(w.Allowed), ""}, row[5:], "the weighbridge is a blank")
		}
	}
	require.Equal(t, 2, loads)

	var wired struct {
		Fuse   float64 `json:"fuse_a"`
		Charge float64 `json:"charge_volts"`
	}
	require.NoError(t, json.Unmarshal([]byte(out(t, exitFits, "wire", framePath, packPath, layoutPath, "--json")), &wired))
	bare, _ := sheetOf(t, exitFits, framePath, packPath, layoutPath)
	require.Empty(t, bare["Rack, beside these"])
	volts, fuse := fmt.Sprintf("%.4g V", wired.Charge), fmt.Sprintf("%g A, for at least %.0f V DC", wired.Fuse, math.Ceil(wired.Charge))
	require.Equal(t, volts, bare["Voltage at the end of charging"])
	require.Equal(t, fuse, bare["Fuse"])
	require.Equal(t, volts, fields["Voltage at the end of charging"])
	require.Equal(t, fuse, fields["Fuse"])

	told := regexp.MustCompile(` +`).ReplaceAllString(out(t, exitFits, "check", framePath, packPath, layoutPath, "--rack", rackPath), " ")
	held := 0
	for _, row := range rows {
		if len(row) == 6 && strings.Contains("forward rearward left right up down", row[0]) {
			held++
			require.Contains(t, told, " "+row[0]+" "+row[1]+" "+row[2]+" ")
			require.Regexp(t, regexp.QuoteMeta(row[2])+` [0-9.]+ mm `+regexp.QuoteMeta(strings.Join(row[3:], " ")), told)
		}
	}
	require.Equal(t, 6, held)

	p, err := problem(t.Context(), framePath, packPath)
	require.NoError(t, err)
	file, err := readLayout(t.Context(), layoutPath)
	require.NoError(t, err)
	left := 0.0
	for _, at := range file.Layout.Placements {
		k, _ := p.Kind(at.Box)
		half, axes := k.Size.Mul(0.5), at.Axes()
		reach := at.Centre.Y + math.Abs(axes[0].Y)*half.X + math.Abs(axes[1].Y)*half.Y + math.Abs(axes[2].Y)*half.Z
		left = max(left, reach)
		for _, post := range k.Posts {
			if n := post.Face.Normal(); n.X*axes[0].Y+n.Y*axes[1].Y+n.Z*axes[2].Y > 0.99 {
				left = max(left, reach+post.Height)
			}
		}
	}
	require.Equal(t, fmt.Sprintf("%g mm", left), strings.Split(bare["reaching to the left of the middle"], ",")[0])
}

// A number that a box hides is told by check and by the sheet; from the other side, where nothing is
// in the way, it is not.
func TestCoveredFrameNumberIsTold(t *testing.T) {
	p, err := problem(t.Context(), "../../testdata/trail/frame.yaml", "../../testdata/trail/pack.yaml")
	require.NoError(t, err)
	file, err := readLayout(t.Context(), "../../testdata/trail/rack-layout.yaml")
	require.NoError(t, err)
	box := file.Layout.Placements[0]
	across := p.Frame.Opening.Widest()
	for side, covered := range map[string]bool{"right": false, "left": true} {
		number := fmt.Sprintf("frame_number: [%g, %g, %g]\nseen_from: %s\n", box.Centre.X, across.Lo, box.Centre.Z, side)
		framePath, packPath, layoutPath, _ := inspectedExample(t, number)
		said := out(t, exitFits, "check", framePath, packPath, layoutPath)
		require.Equal(t, covered, strings.Contains(said, "The frame number cannot be read from the "+side+": "), said)
		if covered {
			require.Contains(t, said, box.Part().String())
		}
	}
}
