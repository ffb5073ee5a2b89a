package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/certificate"
)

// Whatever a proof file within the limit says, checking it takes less than 500 MB: lists of empty
// branches, lemmas and sets, which take the most room for their length, long sums, deep trees, and
// a long text. What is beyond the limits is refused by name. Without RACKWRIGHT_LONG some of them.
func TestCheckingAProofTakesLittleMemory(t *testing.T) {
	dir := crate(t)
	o := rackwright(t, dir, os.Environ(), "fit", "frame.yaml", "crates.yaml", "--proof", "no.json")
	require.Equal(t, exitNoFit, o.status, o.err)
	text, err := os.ReadFile(filepath.Join(dir, "no.json"))
	require.NoError(t, err)
	head := regexp.MustCompile(`^.*?"pack_sha256":"[0-9a-f]+",`).FindString(string(text))
	require.NotEmpty(t, head)
	const mib = 1 << 20
	list := func(before, one, after string, bytes int) func(io.Writer) {
		return func(w io.Writer) {
			fmt.Fprint(w, before)
			for range (bytes - len(before) - len(after)) / (len(one) + 1) {
				fmt.Fprint(w, one, ",")
			}
			fmt.Fprint(w, one, after)
		}
	}
	for name, body := range map[string]func(io.Writer){
		"branches at the limit":     list(`"order":0,"tree":{"apart":[0,0,1,0],"then":[`, "{}", `]}}`, 17*mib/10),
		"lemmas at the limit":       list(`"order":0,"lemmas":[`, "{}", `],"tree":{}}`, 17*mib/10),
		"lemmas that lead on":       list(`"order":0,"lemmas":[`, `{"tree":{"lemma":0}}`, `],"tree":{"lemma":0}}`, 6*mib),
		"sets at the limit":         list(`"order":0,"tree":{"turn":{"box":0,"sets":[`, "[]", `]},"then":[]}}`, 6*mib),
		"numbers at the limit":      list(`"order":0,"tree":{"sum":[{"wall":[`, "1", `],"times":1}]}}`, 24*mib),
		"a sum at the limit":        list(`"order":0,"tree":{"sum":[`, `{"wall":[0,0],"times":1e300},{"wall":[0,0],"times":1e-300}`, `]}}`, 12*mib),
		"a text at the limit":       list(`"`, "xxx", `":0}`, 31*mib),
		"branches beyond the limit": list(`"order":0,"tree":{"apart":[0,0,1,0],"then":[`, "{}", `]}}`, 21*mib),
		"bytes beyond the limit":    list(`"claim":"`, "xxx", `"}`, certificate.MostBytes+mib),
		"a deep tree": func(w io.Writer) {
			fmt.Fprint(w, `"order":0,"tree":`, strings.Repeat(`{"apart":[0,0,1,0],"then":[`, 4000), "{}", strings.Repeat(`,{},{},{},{},{}]}`, 4000), "}")
		},
	} {
		if !long() && !slices.Contains([]string{"branches at the limit", "a sum at the limit", "branches beyond the limit", "a deep tree"}, name) {
			continue
		}
		file, err := os.Create(filepath.Join(dir, "proof.json"))
		require.NoError(t, err)
		w := bufio.NewWriter(file)
		fmt.Fprint(w, head)
		body(w)
		require.NoError(t, errors.Join(w.Flush(), file.Close()))
		o := rackwright(t, dir, os.Environ(), "check", "frame.yaml", "crates.yaml", "--proof", "proof.json")
		t.Logf("%s: %d MB, %s%s", name, o.memory>>10, o.out, o.err)
		require.Contains(t, []int{exitNoFit, exitUsage}, o.status, name)
		require.Less(t, len(o.err), 1000, name)
		require.Less(t, o.memory, int64(500<<10), name)
		if strings.Contains(name, "beyond") {
			require.Equal(t, exitUsage, o.status, name)
			require.Regexp(t, `than are checked|larger than \d+ MB`, o.err, name)
		} else {
			require.NotContains(t, o.err, "than are checked", fmt.Sprint(name, " is to be within the limit"))
		}
	}
}
