// Package chromium is the judge of pages: one browser for all tests of a package, a fresh page for each.
package chromium

import (
	"os"
	"os/exec"
	"sync"
	"testing"

	"github.com/go-rod/rod"
	"github.com/go-rod/rod/lib/launcher"
	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"
)

// program is where Debian puts the browser.
const program = "/usr/bin/chromium"

// shared is the browser of this process, started by the first test that asks for it: starting one takes
// longer than most of what is done with it.
var shared struct {
	sync.Once
	*rod.Browser
	launcher *launcher.Launcher
	err      error
}

// Main runs the tests of a package, for its TestMain, and ends the browser after them.
func Main(m *testing.M) {
	code := m.Run()
	if shared.Browser != nil {
		_ = shared.Close()
		shared.launcher.Kill()
		shared.launcher.Cleanup()
	}
	os.Exit(code)
}

// Long tells whether the longest judgements are asked for, as .ci/run does. Without it the same tests look at
// fewer cases: a browser that draws in software takes its time.
func Long() bool { return os.Getenv("RACKWRIGHT_LONG") != "" }

// Page is an empty page that shares no cookies and nothing stored with any other, and is closed after the
// test. Without the browser, and in short runs, the test is skipped; where the outside judges are
// required it fails.
func Page(t testing.TB) *rod.Page {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	if _, err := exec.LookPath(program); err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip("chromium is missing")
	}
	shared.Do(start)
	require.NoError(t, shared.err)
	alone, err := shared.Incognito()
	require.NoError(t, err)
	page, err := alone.Page(proto.TargetCreateTarget{URL: "about:blank"})
	require.NoError(t, err)
	// Closing the page itself would wait for the answer to what it asks before it is left.
	t.Cleanup(func() { _ = alone.Close() })
	return page
}

// start launches the browser, which draws in software: machines that test have no graphics card. There
// drawing letters and putting pages together as a card would takes half as much time again; only WebGL
// has to.
func start() {
	b := &shared
	b.launcher = launcher.New().Bin(program).NoSandbox(true).Leakless(false).
		Set("use-gl", "angle").Set("use-angle", "swiftshader").Set("enable-unsafe-swiftshader").
		Set("disable-gpu-rasterization").Set("disable-gpu-compositing")
	var url string
	if url, b.err = b.launcher.Launch(); b.err != nil {
		return
	}
	b.Browser = rod.New().ControlURL(url)
	b.err = b.Connect()
}
