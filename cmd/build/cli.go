package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"datumbook/cmd/build/cache"
	"datumbook/cmd/build/release"
)

const usage = `usage: build [command]

  (none)         build the app into pwa/dist and print a size report
  quick          the same in a fraction of the time, to be looked at: packed less, no budgets
  types          write pwa/src/engine/contract.gen.ts from cmd/build/contract
  types --check  fail if that file is not current
  test [NAME]    bundle pwa/test/*.test.ts as the app is bundled and run them in Node; NAME picks files
  fuzz [TIME]    run every fuzz test of the tree for a while, such as 5s; a minute unless said
  release [SYSTEM ...]
                 build the app, and from it what a shop is given, into bin/release: programs for all systems
                 or for those named, such as linux-arm64; checksums, contents, licences, Debian packages
  bench NAME     bundle pwa/test/NAME.bench.ts and run it in Node, as a benchmark in cmd/datumbook does
`

// run does what the arguments ask; the program is nothing more.
func run(ctx context.Context, args []string, out io.Writer) error {
	root, err := findRoot()
	if err != nil {
		return err
	}
	b := newBuilder(root, out)
	switch strings.Join(args, " ") {
	case "":
		return b.app(ctx)
	case "quick":
		b.quick = true
		return b.app(ctx)
	case "types":
		return b.types(false)
	case "types --check":
		return b.types(true)
	case "help", "-h", "--help":
		_, err := io.WriteString(out, usage)
		return err
	}
	if args[0] == "test" && len(args) <= 2 {
		return b.test(ctx, strings.Join(args[1:], ""))
	}
	if args[0] == "fuzz" && len(args) <= 2 {
		return b.fuzz(ctx, strings.Join(args[1:], ""))
	}
	if args[0] == "release" {
		return b.release(ctx, args[1:])
	}
	if args[0] == "bench" && len(args) == 2 {
		return b.bench(ctx, args[1])
	}
	return fmt.Errorf("%q is not a command\n%s", strings.Join(args, " "), usage)
}

// release makes what a shop is given.
func (b builder) release(ctx context.Context, names []string) error {
	targets, err := release.Pick(names)
	if err != nil {
		return err
	}
	if err := b.app(ctx); err != nil {
		return err
	}
	r := release.Release{Root: b.root, Out: filepath.Join(b.root, "bin", "release"), Targets: targets, Say: b.say}
	return r.Make(ctx)
}

// builder holds what the steps share.
type builder struct {
	root  string
	out   io.Writer
	cache cache.Dir
	quick bool
	// shipped names the JavaScript packages found in what was bundled.
	shipped map[string]bool
}

func newBuilder(root string, out io.Writer) builder {
	return builder{root: root, out: out, cache: cache.At(root), shipped: map[string]bool{}}
}

func (b builder) pwa(parts ...string) string {
	return filepath.Join(append([]string{b.root, "pwa"}, parts...)...)
}

func (b builder) say(format string, args ...any) {
	fmt.Fprintf(b.out, format+"\n", args...)
}

// findRoot walks up from the working directory to the module's folder.
func findRoot() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		mod, err := os.ReadFile(filepath.Join(dir, "go.mod"))
		if err == nil && strings.HasPrefix(string(mod), "module datumbook\n") {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", errors.New("not inside the datumbook tree: run it from the folder that holds go.mod, or below")
		}
		dir = up
	}
}
