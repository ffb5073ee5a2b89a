package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	answers "rackwright/export/answer"
)

// Each caution is in the answer of the whole program when it applies, and not otherwise.
// The limits: one person lifts 23 kg at most (NIOSH 94-110), 60 V DC is hazardous (ISO
// 6469-3, from memory).
func TestCautionsOfTheAnswer(t *testing.T) {
	dir := t.TempDir()
	framePath, packPath := filepath.Join(dir, "frame.yaml"), filepath.Join(dir, "pack.yaml")
	require.NoError(t, os.WriteFile(framePath, []byte(frameWith(square, "across: 900", "")), 0o600))
	answer := func(box string) string {
		require.NoError(t, os.WriteFile(packPath, []byte(packWith("{name: block, size: [100, 90, 80]"+box+"}")), 0o600))
		var out, errs bytes.Buffer
		require.Equal(t, exitFits, run(context.Background(), []string{"fit", framePath, packPath, "--time", "1m"}, streams{out: &out, err: &errs}), errs.String())
		return out.String()
	}
	for _, c := range []struct{ caution, yes, no string }{
		{"two people or a hoist", ", mass: 23.5", ", mass: 23"},
		{"two people or a hoist", ", mass: 51 lb", ", mass: 50 lb"}, // 23.1 and 22.7 kg
		{"over 60 V DC a touch can kill", ", volts: 60", ", volts: 48"},
		{"over 60 V DC a touch can kill", ", volts: 56, charge_volts: 60.5", ", volts: 56, charge_volts: 60"},
		{"boots on every post", ", posts: [{name: plus, face: top, at: [20, 20], diameter: 8}]", ""},
		{"hydrogen", ", volts: 12", ""},
		{"Flooded ones stay upright", ", volts: 12", ""},
		{"Lithium batteries burn", ", volts: 12", ", volts: 12, flooded: true"},
	} {
		require.Contains(t, answer(c.yes), c.caution, c.yes)
		require.NotContains(t, answer(c.no), c.caution, c.no)
	}
	require.Contains(t, answer(""), "Local vehicle rules decide")

	// Eight of 12 V (14.4 at the end of charging) in groups of two are 57.6 V, in one string 115.2.
	eight := ", count: 8, volts: 12, amp_hours: 20, charge_volts: 14.4, posts: [" +
		"{name: plus, face: top, at: [20, 20], diameter: 8, polarity: '+'}, {name: minus, face: top, at: [80, 20], diameter: 8, polarity: '-'}]}]"
	for wiring, want := range map[string]string{
		", wiring: {series: 4, parallel: 2}": "", ", wiring: {strings: 2}": "",
		", wiring: {series: 8}": "With 8 in series, as the pack file joins them, this is up to 115.2 V",
		"":                      "All in series this is up to 115.2 V",
	} {
		require.NoError(t, os.WriteFile(packPath, []byte("{format: 1, pack: p, boxes: [{name: block, size: [100, 90, 80]"+eight+wiring+"}"), 0o600))
		p, err := problem(t.Context(), framePath, packPath)
		require.NoError(t, err)
		all := strings.Join(answers.Cautions(p.Pack), "\n")
		require.Equal(t, want != "", strings.Contains(all, "a touch can kill"), wiring)
		require.Contains(t, all, want, wiring)
	}

	// Standing otherwise than upright has to be asked for: nothing but stand: allows it.
	layout := filepath.Join(dir, "layout.yaml")
	require.NoError(t, os.WriteFile(layout, []byte("{format: 1, placements: [{box: block, number: 1, up: front, front: top, centre_mm: [450, 0, 450]}]}"), 0o600))
	for box, want := range map[string]int{", volts: 12": exitNoFit, ", volts: 12, stand: [on-end]": exitFits} {
		require.NoError(t, os.WriteFile(packPath, []byte(packWith("{name: block, size: [100, 90, 80]"+box+"}")), 0o600))
		var out, errs bytes.Buffer
		require.Equal(t, want, run(context.Background(), []string{"check", framePath, packPath, layout}, streams{out: &out, err: &errs}), errs.String())
	}

	// A post under its gap to metal is told, by name and by how much.
	require.NoError(t, os.WriteFile(packPath, []byte(packWith("{name: block, size: [100, 90, 80], posts: [{name: plus, face: top, at: [20, 20], diameter: 8, height: 10}]}")), 0o600))
	for centre, want := range map[string]string{"[450, 0, 840]": "block 1 plus", "[450, 0, 450]": "The layout holds"} {
		require.NoError(t, os.WriteFile(layout, []byte("{format: 1, placements: [{box: block, number: 1, up: top, front: front, centre_mm: "+centre+"}]}"), 0o600))
		var out, errs bytes.Buffer
		status := run(context.Background(), []string{"check", framePath, packPath, layout}, streams{out: &out, err: &errs})
		require.Contains(t, out.String(), want)
		require.Equal(t, want == "The layout holds", status == exitFits)
	}
}

// On the page and on the templates of a box each caution is there when it applies, and not
// otherwise; the page says besides what always holds.
func TestCautionsOfPageAndTemplates(t *testing.T) {
	write := func(box string) string {
		dir := t.TempDir()
		framePath, packPath, out := filepath.Join(dir, "frame.yaml"), filepath.Join(dir, "pack.yaml"), filepath.Join(dir, "out")
		require.NoError(t, os.WriteFile(framePath, []byte(frameWith(square, "across: 900", "")), 0o600))
		require.NoError(t, os.WriteFile(packPath, []byte(packWith("{name: block, size: [200, 170, 190]"+box+"}")), 0o600))
		var said, errs bytes.Buffer
		require.Equal(t, exitFits, run(context.Background(), []string{"fit", framePath, packPath, "--layouts", "1", "--time", "1m", "--out", out}, streams{out: &said, err: &errs}), errs.String())
		mock := []string{"mock", framePath, packPath, filepath.Join(out, "layout-1.yaml"), "--form", "svg", "--sheet", "1500x1200", "--out", filepath.Join(out, "mock")}
		require.Equal(t, exitFits, run(context.Background(), mock, streams{out: &said, err: &errs}), errs.String())
		return out
	}
	all, none := write(", mass: 24, volts: 56, charge_volts: 60.5, posts: [{name: plus, face: top, at: [20, 20], diameter: 8}]"), write(", mass: 23")
	for _, name := range []string{"report.html", "card-block.svg", "silhouette-block.svg", "mock/silhouette-of-layout.svg", "mock/card-sheet-1.svg"} {
		with, err := os.ReadFile(filepath.Join(all, name))
		require.NoError(t, err)
		without, err := os.ReadFile(filepath.Join(none, name))
		require.NoError(t, err)
		for _, caution := range []string{"two people or a hoist", "60 V DC", "boots on every", "hydrogen", "Lithium"} {
			require.Contains(t, string(with), caution, name)
			require.NotContains(t, string(without), caution, name)
		}
	}
	page, err := os.ReadFile(filepath.Join(none, "report.html"))
	require.NoError(t, err)
	require.Contains(t, string(page), "Local vehicle rules decide")
}
