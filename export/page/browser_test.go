package page

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/go-rod/rod"
	"github.com/go-rod/rod/lib/launcher"
	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"
)

// chromium is Debian's browser, the judge of the page.
const chromium = "/usr/bin/chromium"

// patience is how long a test waits for what the page has to do: much more than it
// takes, for drawing without a graphics card on a busy machine is slow.
const patience = 90 * time.Second

var theBrowser struct {
	sync.Once
	*rod.Browser
	launcher *launcher.Launcher
	err      error
}

func TestMain(m *testing.M) {
	code := m.Run()
	if theBrowser.Browser != nil {
		_ = theBrowser.Close()
		theBrowser.launcher.Kill()
		theBrowser.launcher.Cleanup()
	}
	os.Exit(code)
}

// browser is one Chromium for all tests, with WebGL in software.
func browser(t *testing.T) *rod.Browser {
	t.Helper()
	if _, err := exec.LookPath(chromium); err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip("chromium is missing")
	}
	b := &theBrowser
	b.Do(func() {
		b.launcher = launcher.New().Bin(chromium).NoSandbox(true).Leakless(false).
			Set("use-gl", "angle").Set("use-angle", "swiftshader").Set("enable-unsafe-swiftshader").
			Set("force-prefers-reduced-motion")
		var url string
		if url, b.err = b.launcher.Launch(); b.err != nil {
			return
		}
		b.Browser = rod.New().ControlURL(url)
		b.err = b.Connect()
	})
	require.NoError(t, b.err)
	return b.Browser
}

// opened is a page of the report in the browser, with all that went wrong in it.
type opened struct {
	*rod.Page
	t        *testing.T
	mutex    sync.Mutex
	trouble  []string
	requests []string
}

// open writes the report to a file and opens it, in a window of a width.
func open(t *testing.T, in Input, width int) *opened {
	t.Helper()
	path := filepath.Join(t.TempDir(), "report.html")
	f, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, Write(f, in))
	require.NoError(t, f.Close())
	return openFile(t, path, width)
}

func openFile(t *testing.T, path string, width int) *opened {
	t.Helper()
	page, err := browser(t).Page(proto.TargetCreateTarget{URL: "about:blank"})
	require.NoError(t, err)
	o := &opened{Page: page.Timeout(patience), t: t}
	t.Cleanup(func() { _ = page.Close() })
	o.listen(page)
	require.NoError(t, page.SetViewport(&proto.EmulationSetDeviceMetricsOverride{Width: width, Height: 800, DeviceScaleFactor: 1}))
	require.NoError(t, o.Navigate("file://"+path))
	require.NoError(t, o.WaitLoad())
	return o
}

func (o *opened) listen(page *rod.Page) {
	note := func(list *[]string, text string) {
		o.mutex.Lock()
		defer o.mutex.Unlock()
		*list = append(*list, text)
	}
	wait := page.EachEvent(
		func(e *proto.RuntimeExceptionThrown) {
			note(&o.trouble, e.ExceptionDetails.Text+e.ExceptionDetails.Exception.Description)
		},
		func(e *proto.RuntimeConsoleAPICalled) {
			if e.Type == proto.RuntimeConsoleAPICalledTypeError {
				var words []string
				for _, a := range e.Args {
					words = append(words, a.Value.String()+a.Description)
				}
				note(&o.trouble, strings.Join(words, " "))
			}
		},
		func(e *proto.LogEntryAdded) {
			if e.Entry.Level == proto.LogLogEntryLevelError {
				note(&o.trouble, e.Entry.Text)
			}
		},
		func(e *proto.NetworkRequestWillBeSent) { note(&o.requests, e.Request.URL) },
	)
	go wait()
}

// quiet requires that nothing went wrong so far, and that only the file itself was read.
func (o *opened) quiet() {
	o.t.Helper()
	o.mutex.Lock()
	defer o.mutex.Unlock()
	require.Empty(o.t, o.trouble)
	for _, url := range o.requests {
		require.Regexp(o.t, `^(file:///.*/report\.html|data:|blob:)`, url)
	}
}

func (o *opened) eval(js string, args ...any) string {
	o.t.Helper()
	r, err := o.Eval(js, args...)
	require.NoError(o.t, err)
	return r.Value.Str()
}
