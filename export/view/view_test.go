package view

import (
	"bytes"
	"flag"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/export"
	"rackwright/export/layoutfile"
	"rackwright/frame"
	"rackwright/pack"
)

var update = flag.Bool("update", false, "draw the pictures of the examples anew")

const examples = "../../testdata/"

func example(t *testing.T, name string) (pack.Problem, export.Judged) {
	t.Helper()
	open := func(file string) *os.File {
		f, err := os.Open(examples + name + "/" + file)
		require.NoError(t, err)
		t.Cleanup(func() { f.Close() })
		return f
	}
	f, err := frame.Read(open("frame.yaml"), "frame.yaml")
	require.NoError(t, err)
	p, err := pack.Read(open("pack.yaml"), "pack.yaml")
	require.NoError(t, err)
	l, err := layoutfile.Read(open("layout.yaml"), "layout.yaml")
	require.NoError(t, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	return problem, export.Judged{Layout: l.Layout, Report: pack.Check(problem, l.Layout)}
}

// The picture that the README shows is what the layout beside it gives.
func TestPictureOfExampleIsCurrent(t *testing.T) {
	problem, judged := example(t, "courier")
	require.True(t, judged.Report.Holds())
	s, err := NewScene(problem, judged, Options{})
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, s.WriteSheet(&b))
	const path = examples + "courier/layout.svg"
	if *update {
		require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	}
	there, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(there), b.String(), "go test ./export/view -update draws it anew; look at it then")
}
