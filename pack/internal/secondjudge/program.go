package secondjudge

import (
	"bufio"
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
)

// program is a judge in Python that runs: it reads a question on each line, and answers on one.
type program struct {
	name string
	in   io.WriteCloser
	out  *bufio.Scanner
}

// started starts the program of a name beside this file, which ends with the test. Without Python the
// test is skipped.
func started(tb testing.TB, name string) program {
	tb.Helper()
	if !Available(tb) {
		tb.Skipf("%s with scipy is missing", python)
	}
	_, here, _, _ := runtime.Caller(0)
	cmd := exec.CommandContext(tb.Context(), python, filepath.Join(filepath.Dir(here), name))
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	must(tb, err)
	out, err := cmd.StdoutPipe()
	must(tb, err)
	must(tb, cmd.Start())
	tb.Cleanup(func() { _ = cmd.Wait() }) // the context has ended it
	scanner := bufio.NewScanner(out)
	scanner.Buffer(nil, 1<<24)
	return program{name, in, scanner}
}

// answer reads what the program says to a question.
func (p program) answer(tb testing.TB, question, into any) {
	tb.Helper()
	must(tb, json.NewEncoder(p.in).Encode(question))
	if !p.out.Scan() {
		tb.Fatalf("%s ended: %v", p.name, p.out.Err())
	}
	must(tb, json.Unmarshal(p.out.Bytes(), into))
}
