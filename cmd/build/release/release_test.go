package release_test

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"datumbook/cmd/build/release"
)

// commit stands for the commit that is released, so that the tests do not depend on it.
var commit = release.Version{Text: "2026.11.30.2115+0123abcd", Date: time.Date(2026, 11, 30, 21, 15, 7, 0, time.UTC)}

// made is a release for Linux on this processor's kin, made once for all tests here; it stays for the next run.
var made = sync.OnceValues(func() (release.Release, error) {
	root, err := filepath.Abs("../../..")
	if err != nil {
		return release.Release{}, err
	}
	targets, err := release.Pick([]string{"linux-amd64"})
	r := release.Release{Root: root, Out: filepath.Join(root, ".task", "test", "release"), Targets: targets,
		Say: func(string, ...any) {}, Version: commit}
	if err == nil {
		err = r.Make(context.Background())
	}
	return r, err
})

// first gives that release and its files.
func first(t *testing.T) (release.Release, map[string]string) {
	t.Helper()
	r, err := made()
	require.NoError(t, err)
	return r, filesIn(t, r.Out)
}

func filesIn(t *testing.T, dir string) map[string]string {
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	all := map[string]string{}
	for _, e := range entries {
		body, err := os.ReadFile(filepath.Join(dir, e.Name()))
		require.NoError(t, err)
		all[e.Name()] = string(body)
	}
	return all
}

// names of what the release of one system holds.
const (
	program  = "datumbook-2026.11.30.2115+0123abcd-linux-amd64"
	contents = "datumbook-2026.11.30.2115+0123abcd-sbom.cdx.json"
	licences = "datumbook-2026.11.30.2115+0123abcd-licences.txt"
	debian   = "datumbook_2026.11.30.2115+0123abcd_amd64.deb"
)

// TestTwoReleasesAreTheSame makes the release again from a copy of the sources at another place: all
// of it is the same byte for byte.
func TestTwoReleasesAreTheSame(t *testing.T) {
	r, files := first(t)
	elsewhere := filepath.Join(t.TempDir(), "another", "place")
	require.NoError(t, filepath.WalkDir(r.Root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(r.Root, path)
		if err != nil {
			return err
		}
		to := filepath.Join(elsewhere, name)
		switch {
		case name == filepath.Join("pwa", "node_modules"):
			if err := os.Symlink(path, to); err != nil || !d.IsDir() {
				return err
			}
			return fs.SkipDir
		case slices.Contains([]string{".git", ".task", "bin"}, name) && d.IsDir(), d.IsDir() && d.Name() == "testdata":
			return fs.SkipDir
		case d.IsDir():
			return os.MkdirAll(to, 0o755)
		case !d.Type().IsRegular():
			return nil
		}
		body, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		return os.WriteFile(to, body, 0o644)
	}))
	second := r
	second.Root, second.Out = elsewhere, filepath.Join(t.TempDir(), "out")
	require.NoError(t, second.Make(t.Context()))
	again := filesIn(t, second.Out)
	assert.Len(t, files, 5)
	for name, body := range files {
		assert.True(t, body == again[name], "%s differs", name)
	}
	assert.Len(t, again, len(files))
}

func TestReleaseHoldsWhatItSays(t *testing.T) {
	_, files := first(t)
	var sums []string
	for _, name := range []string{licences, program, contents, debian} {
		require.Contains(t, files, name)
		sums = append(sums, fmt.Sprintf("%x  %s\n", sha256.Sum256([]byte(files[name])), name))
	}
	assert.Equal(t, strings.Join(sums, ""), files["SHA256SUMS"])

	var list struct {
		BomFormat, SpecVersion, SerialNumber string
		Metadata                             struct{ Timestamp string }
		Components                           []struct {
			Name, Version, Purl string
			Licenses            []struct{ Expression string }
		}
	}
	require.NoError(t, json.Unmarshal([]byte(files[contents]), &list))
	assert.Equal(t, []string{"CycloneDX", "1.6", "2026-11-30T21:15:07Z"}, []string{list.BomFormat, list.SpecVersion, list.Metadata.Timestamp})
	said := map[string]string{}
	for _, c := range list.Components {
		require.Len(t, c.Licenses, 1, c.Name)
		assert.NotEmpty(t, c.Licenses[0].Expression, c.Name)
		assert.True(t, strings.HasSuffix(c.Purl, "@"+c.Version), c.Purl)
		said[c.Name] = c.Licenses[0].Expression
	}
	// A module of the program, a package of the app, and Go's own library, with the licences that
	// their authors name; nothing of what only builds and tests.
	assert.Equal(t, "MIT", said["go.etcd.io/bbolt"])
	assert.Equal(t, "MIT", said["preact"])
	assert.Equal(t, "BSD-3-Clause", said["std"])
	assert.NotContains(t, said, "github.com/stretchr/testify")
	assert.NotContains(t, said, "eslint")
	assert.Contains(t, files[licences], "\n==== go.etcd.io/bbolt ====\n")
	assert.Contains(t, files[licences], "\n==== preact ====\n")
}

// TestHeaders: a program's header tells for which system it is; the same file is nothing for another.
// 'task release' looks at those of all systems so.
func TestHeaders(t *testing.T) {
	_, files := first(t)
	for _, target := range release.Targets {
		err := release.Header([]byte(files[program]), target)
		if target.Name == "linux-amd64" {
			assert.NoError(t, err)
		} else {
			assert.Error(t, err, target.Name)
		}
	}
}

func TestPickRefusesWhatIsNotThere(t *testing.T) {
	_, err := release.Pick([]string{"linux/arm64", "amiga"})
	assert.ErrorContains(t, err, `there is no system "amiga"`)
	all, err := release.Pick(nil)
	require.NoError(t, err)
	assert.Len(t, all, 6)
}

// A folder that holds something else is not emptied.
func TestReleaseLeavesOtherFoldersAlone(t *testing.T) {
	r, _ := first(t)
	r.Out = t.TempDir()
	mine := filepath.Join(r.Out, "mine.txt")
	require.NoError(t, os.WriteFile(mine, []byte("kept"), 0o600))
	assert.ErrorContains(t, r.Make(t.Context()), "holds other things than a release")
	assert.FileExists(t, mine)
}

// TestVersion reads the versions of a small history: later ones are later, also to Debian.
func TestVersion(t *testing.T) {
	root := t.TempDir()
	git := func(when string, args ...string) {
		t.Helper()
		cmd := exec.Command("git", append([]string{"-c", "user.name=t", "-c", "user.email=t@localhost",
			"-c", "init.defaultBranch=main"}, args...)...)
		cmd.Dir = root
		cmd.Env = append(os.Environ(), "GIT_AUTHOR_DATE="+when, "GIT_COMMITTER_DATE="+when)
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s", out)
	}
	_, err := release.VersionOf(t.Context(), root)
	require.ErrorContains(t, err, "the version comes from the commit")
	git("", "init", "-q")
	git("2026-11-30T09:05:00+02:00", "commit", "-q", "--allow-empty", "-m", "one")
	one, err := release.VersionOf(t.Context(), root)
	require.NoError(t, err)
	assert.Regexp(t, `^2026\.11\.30\.0705\+[0-9a-f]{8}$`, one.Text)
	git("2026-11-30T10:05:00+02:00", "commit", "-q", "--allow-empty", "-m", "two")
	two, err := release.VersionOf(t.Context(), root)
	require.NoError(t, err)
	out, err := exec.Command("dpkg", "--compare-versions", one.Text, "lt", two.Text).CombinedOutput()
	require.NoError(t, err, "%s", out)
	require.NoError(t, os.WriteFile(filepath.Join(root, "new"), nil, 0o600))
	changed, err := release.VersionOf(t.Context(), root)
	require.NoError(t, err)
	assert.Equal(t, two.Text+".changed", changed.Text)
	assert.True(t, changed.Changed)
	git("", "tag", "v1.2.0")
	require.NoError(t, os.Remove(filepath.Join(root, "new")))
	tagged, err := release.VersionOf(t.Context(), root)
	require.NoError(t, err)
	assert.Equal(t, "1.2.0", tagged.Text)
}

// machine is a root of its own that dpkg works on, with a systemd that only notes what it is told.
type machine struct {
	t    *testing.T
	root string
	bin  string
}

func newMachine(t *testing.T, systemd bool) machine {
	m := machine{t, filepath.Join(t.TempDir(), "root"), t.TempDir()}
	for _, dir := range []string{"var/lib/dpkg/info", "var/lib/dpkg/updates", "etc", "run"} {
		require.NoError(t, os.MkdirAll(filepath.Join(m.root, dir), 0o755))
	}
	if systemd {
		require.NoError(t, os.MkdirAll(filepath.Join(m.root, "run/systemd/system"), 0o755))
	}
	// What the package depends on is there by its name alone.
	var status strings.Builder
	for _, name := range []string{"passwd", "init-system-helpers"} {
		fmt.Fprintf(&status, "Package: %s\nStatus: install ok installed\nVersion: 1\nArchitecture: all\n"+
			"Maintainer: t <t@localhost>\nDescription: t\n\n", name)
	}
	note := "#!/bin/sh\necho \"${0##*/} $*\" >> " + m.root + "/calls\n"
	user := note + `echo "datumbook:x:$(id -u):$(id -g)::/var/lib/datumbook:/usr/sbin/nologin" >> ` + m.root + "/etc/passwd\n"
	for name, text := range map[string]string{
		m.root + "/var/lib/dpkg/status": status.String(), m.root + "/var/lib/dpkg/available": "",
		m.root + "/etc/passwd": "root:x:0:0::/root:/bin/sh\n",
		m.bin + "/systemctl":   note, m.bin + "/deb-systemd-helper": note, m.bin + "/deb-systemd-invoke": note,
		m.bin + "/useradd": user,
	} {
		require.NoError(t, os.WriteFile(name, []byte(text), 0o755))
	}
	return m
}

// dpkg runs it on that root, scripts too, and gives what they say.
func (m machine) dpkg(args ...string) string {
	m.t.Helper()
	cmd := exec.Command("dpkg", append([]string{"--root=" + m.root, "--force-script-chrootless", "--force-not-root",
		"--force-downgrade", "--no-triggers", "--log=/dev/null"}, args...)...)
	cmd.Env = append(os.Environ(), "PATH="+m.bin+":/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin", "LC_ALL=C")
	out, err := cmd.CombinedOutput()
	require.NoError(m.t, err, "%s", out)
	return string(out)
}

// calls gives what the scripts have called since it was last asked.
func (m machine) calls() string {
	text, _ := os.ReadFile(m.root + "/calls")
	_ = os.Remove(m.root + "/calls")
	return string(text)
}

// debs writes packages of an earlier and a later version, with the same program.
func debs(t *testing.T) (earlier, later string) {
	r, files := first(t)
	d := release.Deb{Arch: "amd64", Version: "2027.01.01.0000+89abcdef", Date: commit.Date, Program: []byte(files[program]),
		Licences: []byte(files[licences])}
	body, err := d.Bytes()
	require.NoError(t, err)
	later = filepath.Join(t.TempDir(), "later.deb")
	require.NoError(t, os.WriteFile(later, body, 0o600))
	return filepath.Join(r.Out, debian), later
}

// TestDebianPackage installs, upgrades, goes back, removes and purges on a root of its own: the
// records and their user stay through all of it.
func TestDebianPackage(t *testing.T) {
	earlier, later := debs(t)
	m := newMachine(t, true)
	m.dpkg("--force-architecture", "--install", earlier)
	assert.Equal(t, "useradd --prefix "+m.root+" --system --user-group --home-dir /var/lib/datumbook "+
		"--no-create-home --shell /usr/sbin/nologin datumbook\n"+
		"deb-systemd-helper unmask datumbook.service\ndeb-systemd-helper --quiet was-enabled datumbook.service\n"+
		"deb-systemd-helper enable datumbook.service\nsystemctl --system daemon-reload\ndeb-systemd-invoke start datumbook.service\n", m.calls())
	out, err := exec.Command(filepath.Join(m.root, "usr/bin/datumbook"), "version").CombinedOutput()
	require.NoError(t, err)
	assert.Equal(t, "datumbook "+commit.Text+"\n", string(out))
	text, err := os.ReadFile(filepath.Join(m.root, "usr/lib/systemd/system/datumbook.service"))
	require.NoError(t, err)
	assert.Contains(t, string(text), "ExecStart=/usr/bin/datumbook serve --data /var/lib/datumbook --lan\n")
	data := filepath.Join(m.root, "var/lib/datumbook")
	info, err := os.Stat(data)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o700), info.Mode().Perm())

	// The records that the program makes are there after each step, byte for byte.
	out, err = exec.Command(filepath.Join(m.root, "usr/bin/datumbook"), "demo", "--data", data).CombinedOutput()
	require.NoError(t, err, "%s", out)
	want := filesIn(t, data)
	require.Contains(t, want, "datumbook.db")
	kept := func(step string) {
		t.Helper()
		for name, body := range filesIn(t, data) {
			assert.True(t, body == want[name], "%s: %s", step, name)
		}
		users, err := os.ReadFile(filepath.Join(m.root, "etc/passwd"))
		require.NoError(t, err)
		assert.Equal(t, 1, strings.Count(string(users), "datumbook:x:"), step)
	}
	m.dpkg("--force-architecture", "--install", later)
	assert.Contains(t, m.calls(), "deb-systemd-invoke restart datumbook.service\n")
	kept("upgrade")
	m.dpkg("--force-architecture", "--install", earlier)
	assert.Contains(t, m.calls(), "deb-systemd-invoke restart datumbook.service\n")
	kept("downgrade")
	m.dpkg("--remove", "datumbook")
	assert.Equal(t, "deb-systemd-invoke stop datumbook.service\nsystemctl --system daemon-reload\n", m.calls())
	assert.NoFileExists(t, filepath.Join(m.root, "usr/bin/datumbook"))
	assert.NoFileExists(t, filepath.Join(m.root, "usr/lib/systemd/system/datumbook.service"))
	kept("remove")
	assert.Contains(t, m.dpkg("--purge", "datumbook"), "The shop's records stay in /var/lib/datumbook")
	assert.Contains(t, m.calls(), "deb-systemd-helper purge datumbook.service\n")
	kept("purge")
}

// Without systemd the package is put in place, and says that nothing was started.
func TestDebianPackageWithoutSystemd(t *testing.T) {
	earlier, later := debs(t)
	m := newMachine(t, false)
	assert.Contains(t, m.dpkg("--force-architecture", "--install", earlier), "systemd does not run here")
	m.dpkg("--force-architecture", "--install", later)
	m.dpkg("--remove", "datumbook")
	m.dpkg("--purge", "datumbook")
	said := m.calls()
	assert.NotContains(t, said, "systemctl")
	assert.NotContains(t, said, "deb-systemd-invoke")

	// As other readers of packages see it.
	for _, args := range [][]string{{"--info", earlier}, {"--contents", earlier}} {
		out, err := exec.Command("dpkg-deb", args...).CombinedOutput()
		require.NoError(t, err, "%s", out)
		if args[0] == "--contents" {
			assert.Regexp(t, `(?m)^-rwxr-xr-x root/root +\d+ 2026-11-30 \d\d:15 \./usr/bin/datumbook$`, string(out))
		}
	}
}
