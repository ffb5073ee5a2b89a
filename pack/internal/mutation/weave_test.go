package mutation

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// A program with all mutants woven in does what a program with the one that is on does.
// What it prints is worked out by hand.
func TestWeave(t *testing.T) {
	const source = `package main

import "fmt"

const limit = 2

var start = []int{5}

type pair struct{ a, b int }

func (p *pair) grow(by ...int) { p.a = p.a + by[0] }

func (p pair) less() (is bool) { return p.a < p.b }

func wrong(a int) bool { return a == 7 || 1/limit == 1 }

func unnamed(int) int { return 4 }

func main() {
	p := pair{start[0], 6}
	p.grow(limit)
	fmt.Print(p.a, p.less(), wrong(7), unnamed(0))
}
`
	want := map[string]string{
		"declarations: 2  (2 → 3)":                 "alone",
		"declarations: 5  (5 → 6)":                 "8 false true 4",
		"grow: p.a + by[0]  (+ → -)":               "3 true true 4",
		"grow: 0  (0 → 1)":                         "", // it ends in a panic
		"less: p.a < p.b  (< → >=)":                "7 true true 4",
		"less: p.a < p.b  (< → <=)":                "7 false true 4",
		"wrong: a == 7 || 1/limit == 1  (|| → &&)": "7 false false 4",
		"wrong: a == 7  (== → !=)":                 "7 false false 4",
		"wrong: 7  (7 → 8)":                        "7 false false 4",
		"wrong: 1/limit == 1  (== → !=)":           "7 false true 4",
		"wrong: 1 / limit  (/ → *)":                "7 false true 4",
		"wrong: 1  (1 → 2)":                        "7 false true 4",
		"wrong: 1  (1 → 2) #2":                     "7 false true 4",
		"unnamed: 4  (4 → 5)":                      "alone",
		"main: 0  (0 → 1)":                         "", // that of start
		"main: 6  (6 → 7)":                         "7 false true 4",
		"main: 7  (7 → 8)":                         "7 false false 4",
		"main: 0  (0 → 1) #2":                      "7 false true 4",
	}
	mutants, err := Mutants("main.go", []byte(source))
	require.NoError(t, err)
	require.Len(t, mutants, len(want))
	for i := range mutants {
		mutants[i].Number = i + 1
	}
	woven, left, err := Weave("main.go", []byte(source), mutants)
	require.NoError(t, err)
	for _, m := range left {
		require.Equal(t, "alone", want[m.Key], m.Key)
	}

	dir := t.TempDir()
	for name, text := range map[string]string{
		"main.go": string(woven), "go.mod": "module woven\n\ngo 1.24\n", "mutanton.go": string(Switch("main", "WOVEN")),
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	build := exec.Command("go", "build", "-o", "woven")
	build.Dir = dir
	out, err := build.CombinedOutput()
	require.NoError(t, err, "%s", out)
	run := func(number int) string {
		cmd := exec.Command(filepath.Join(dir, "woven"))
		cmd.Env = append(os.Environ(), fmt.Sprintf("WOVEN=%d", number))
		printed, _ := cmd.Output()
		return string(printed)
	}
	require.Equal(t, "7 false true 4", run(0))
	for _, m := range mutants {
		if want[m.Key] != "alone" {
			require.Equal(t, want[m.Key], run(m.Number), m.Key)
		}
	}
}

// The compiler names the mutant that it cannot compile.
func TestErrorsNameTheMutant(t *testing.T) {
	source := []byte("package main\n\nfunc main() { println([2]int{}[1]) }\n\nvar v = [2]int{}[1]\n")
	mutants, err := Mutants("main.go", source)
	require.NoError(t, err)
	require.Len(t, mutants, 2)
	mutants[0].Number, mutants[1].Number = 11, 12
	woven, left, err := Weave("main.go", source, mutants)
	require.NoError(t, err)
	require.Empty(t, left)
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "main.go"), woven, 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "mutanton.go"), Switch("main", "WOVEN"), 0o600))
	build := exec.Command("go", "build", "-gcflags=-e", "-o", "woven", "main.go", "mutanton.go")
	build.Dir = dir
	out, err := build.CombinedOutput()
	require.Error(t, err)
	require.Contains(t, string(out), WovenFile(11)+":")
	require.Contains(t, string(out), WovenFile(12)+":")
}
