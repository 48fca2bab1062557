// Package release makes what a shop is given: one program for each system, their checksums, the list
// of what is in them, the licences of that, and Debian packages. Two releases of one commit are the
// same byte for byte, wherever they are made: all times are the commit's, nothing is in an order of
// chance, and no path of the machine is in them.
package release

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"
)

// Target is a system that a program is made for.
type Target struct {
	OS, Arch string // as Go names them
	Name     string // as people name them, in the file's name
	Debian   string // Debian's name of the architecture, where a package is made
}

// Targets are all of them. Small single-board computers are linux-arm64 and, with a 32-bit system,
// linux-armv7.
var Targets = []Target{
	{"windows", "amd64", "windows-amd64.exe", ""},
	{"darwin", "amd64", "macos-intel", ""},
	{"darwin", "arm64", "macos-apple", ""},
	{"linux", "amd64", "linux-amd64", "amd64"},
	{"linux", "arm64", "linux-arm64", "arm64"},
	{"linux", "arm", "linux-armv7", "armhf"},
}

// Release is one making of it.
type Release struct {
	Root    string // of the sources
	Out     string // where it goes; emptied first
	Targets []Target
	Say     func(format string, args ...any)
	Version Version // of what is made; zero: the checked-out commit's
}

// Make builds the targets and all that goes with them. The app must be built already.
func (r *Release) Make(ctx context.Context) (err error) {
	if r.Version.Text == "" {
		if r.Version, err = VersionOf(ctx, r.Root); err != nil {
			return err
		}
	}
	if r.Version.Changed {
		r.Say("Caution: there are changes that are not committed; this release is of no commit.")
	}
	if err := empty(r.Out); err != nil {
		return err
	}
	for _, t := range r.Targets {
		begun := time.Now()
		path := r.path(t)
		if err := r.build(ctx, t, path); err != nil {
			return err
		}
		if err := r.check(ctx, t, path); err != nil {
			return fmt.Errorf("%s is not as it should be: %w", filepath.Base(path), err)
		}
		info, err := os.Stat(path)
		if err != nil {
			return err
		}
		r.Say("%-48s %6.1f MB  %5.1f s", filepath.Base(path), float64(info.Size())/1e6, time.Since(begun).Seconds())
	}
	parts, err := r.parts(ctx)
	if err != nil {
		return err
	}
	licences, err := r.licences(parts)
	if err != nil {
		return err
	}
	if err := r.write("licences.txt", licences); err != nil {
		return err
	}
	list, err := r.sbom(parts)
	if err != nil {
		return err
	}
	if err := r.write("sbom.cdx.json", list); err != nil {
		return err
	}
	for _, t := range r.Targets {
		if t.Debian == "" {
			continue
		}
		program, err := os.ReadFile(r.path(t))
		if err != nil {
			return err
		}
		d := Deb{Arch: t.Debian, Version: r.Version.Text, Date: r.Version.Date, Program: program, Licences: licences}
		file, err := d.Bytes()
		if err != nil {
			return err
		}
		name := fmt.Sprintf("datumbook_%s_%s.deb", r.Version.Text, t.Debian)
		if err := os.WriteFile(filepath.Join(r.Out, name), file, 0o644); err != nil {
			return err
		}
		r.Say("%-48s %6.1f MB", name, float64(len(file))/1e6)
	}
	return r.sums()
}

// prefix begins the names of the programs and of what belongs to them all.
func (r *Release) prefix() string { return "datumbook-" + r.Version.Text + "-" }

func (r *Release) path(t Target) string { return filepath.Join(r.Out, r.prefix()+t.Name) }

func (r *Release) write(name string, body []byte) error {
	return os.WriteFile(filepath.Join(r.Out, r.prefix()+name), body, 0o644)
}

const sumsFile = "SHA256SUMS"

// empty makes a folder that holds nothing, but takes away none that is not an earlier release.
func empty(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	ours := slices.ContainsFunc(entries, func(e fs.DirEntry) bool {
		return e.Name() == sumsFile || strings.HasPrefix(e.Name(), "datumbook-")
	})
	if len(entries) > 0 && !ours {
		return fmt.Errorf("the folder %s holds other things than a release: name another", dir)
	}
	if err := os.RemoveAll(dir); err != nil {
		return err
	}
	return os.MkdirAll(dir, 0o755)
}

// build compiles one program.
func (r *Release) build(ctx context.Context, t Target, to string) error {
	cmd := exec.CommandContext(ctx, "go", "build", "-trimpath", "-buildvcs=false",
		"-ldflags=-s -w -buildid= -X main.version="+r.Version.Text, "-o", to, "./cmd/datumbook")
	cmd.Dir, cmd.Env = r.Root, environment("GOOS="+t.OS, "GOARCH="+t.Arch, "GOARM=7", "CGO_ENABLED=0")
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("go build for %s/%s: %w\n%s", t.OS, t.Arch, err, bytes.TrimSpace(out))
	}
	return nil
}

// environment is the process's own without what changes how Go compiles, and with what is given.
func environment(with ...string) []string {
	env := slices.DeleteFunc(os.Environ(), func(pair string) bool {
		name, _, _ := strings.Cut(pair, "=")
		return name == "GOFLAGS" || name == "CGO_ENABLED" || name == "GOEXPERIMENT" ||
			strings.HasPrefix(name, "GOOS") || strings.HasPrefix(name, "GOARCH") ||
			strings.HasPrefix(name, "GOARM") || strings.HasPrefix(name, "GOAMD")
	})
	return append(env, with...)
}

// sums writes the checksums in the form that sha256sum -c reads.
func (r *Release) sums() error {
	entries, err := os.ReadDir(r.Out)
	if err != nil {
		return err
	}
	var text strings.Builder
	for _, e := range entries { // in order
		body, err := os.ReadFile(filepath.Join(r.Out, e.Name()))
		if err != nil {
			return err
		}
		sum := sha256.Sum256(body)
		fmt.Fprintf(&text, "%s  %s\n", hex.EncodeToString(sum[:]), e.Name())
	}
	return os.WriteFile(filepath.Join(r.Out, sumsFile), []byte(text.String()), 0o644)
}

// Pick gives the targets whose names are wanted, or all.
func Pick(names []string) ([]Target, error) {
	if len(names) == 0 {
		return Targets, nil
	}
	var picked []Target
	for _, name := range names {
		i := slices.IndexFunc(Targets, func(t Target) bool { return t.Name == name || t.OS+"/"+t.Arch == name })
		if i < 0 {
			return nil, fmt.Errorf("there is no system %q; name one such as linux-arm64", name)
		}
		picked = append(picked, Targets[i])
	}
	return picked, nil
}

// here reports whether a target's program runs on this machine.
func (t Target) here() bool { return t.OS == runtime.GOOS && t.Arch == runtime.GOARCH }
