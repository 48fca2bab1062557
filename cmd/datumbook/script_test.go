package main

import (
	"context"
	"flag"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
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
