package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"
)

// fuzzTarget is a fuzz test: a package's folder and the test's name.
type fuzzTarget struct{ folder, name string }

var fuzzFunc = regexp.MustCompile(`(?m)^func (Fuzz\w+)\(f \*testing\.F\)`)

// fuzzTargets lists the fuzz tests of the whole tree, so that none has to be named anywhere else.
func fuzzTargets(root string) ([]fuzzTarget, error) {
	var out []fuzzTarget
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && path != root && (strings.HasPrefix(d.Name(), ".") || d.Name() == "node_modules"):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(d.Name(), "_test.go"):
			return nil
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		folder, err := filepath.Rel(root, filepath.Dir(path))
		for _, m := range fuzzFunc.FindAllSubmatch(text, -1) {
			out = append(out, fuzzTarget{"./" + filepath.ToSlash(folder), string(m[1])})
		}
		return err
	})
	slices.SortFunc(out, func(a, b fuzzTarget) int { return strings.Compare(a.folder+a.name, b.folder+b.name) })
	return out, err
}

// fuzz runs each fuzz test for a while and reports all that failed.
func (b builder) fuzz(ctx context.Context, each string) error {
	if each == "" {
		each = "1m"
	}
	if d, err := time.ParseDuration(each); err != nil || d <= 0 {
		return fmt.Errorf("%q is not a duration such as 5s or 10m", each)
	}
	targets, err := fuzzTargets(b.root)
	if err != nil {
		return err
	}
	if len(targets) == 0 {
		return errors.New("no fuzz test was found")
	}
	var failed []error
	for _, t := range targets {
		cmd := exec.CommandContext(ctx, "go", "test", "-vet=off", "-run=^$", "-fuzz=^"+t.name+"$", "-fuzztime="+each,
			"-fuzzminimizetime=10s", "-parallel=1", t.folder)
		cmd.Dir = b.root
		text, err := cmd.CombinedOutput()
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case err != nil && !timeWasUp(text):
			b.say("%s", text)
			failed = append(failed, fmt.Errorf("%s %s: %w", t.folder, t.name, err))
		default:
			b.say("%-28s %-20s %s", t.folder, t.name, tries(text))
		}
	}
	return errors.Join(failed...)
}

// timeWasUp reports whether the only failure is that the time was up while an input was running,
// which the engine reports as a failure now and then.
func timeWasUp(text []byte) bool {
	return bytes.Contains(text, []byte("context deadline exceeded")) && !bytes.Contains(text, []byte("Failing input"))
}

var fuzzLine = regexp.MustCompile(`execs: (\d+)`)

// tries gives how many inputs were tried.
func tries(text []byte) string {
	all := fuzzLine.FindAllSubmatch(text, -1)
	if len(all) == 0 {
		return "corpus only"
	}
	return string(all[len(all)-1][1]) + " inputs"
}
