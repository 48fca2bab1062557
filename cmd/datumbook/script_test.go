package main

import (
	"context"
	"flag"
	"os"
	"os/exec"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write what the commands print into the scripts")

// TestMain lets the scripts run the program itself as a command.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"datumbook": func() { os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr)) },
	})
}

// TestScripts runs the command-line scripts of testdata: commands on top,
// expected output below. A new case is a new text file.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata", UpdateScripts: *update})
}

// runs runs a program, which must succeed.
func runs(t *testing.T, program string, args ...string) {
	t.Helper()
	out, err := exec.Command(program, args...).CombinedOutput()
	require.NoError(t, err, "%s", out)
}
