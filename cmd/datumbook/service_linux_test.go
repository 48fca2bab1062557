package main

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	bolt "go.etcd.io/bbolt"

	"datumbook/cmd/datumbook/browsertest"
	"datumbook/cmd/datumbook/unit"
	"datumbook/store"
)

// fakeSystemctl does for one unit below $MACHINE what systemd would: it runs the command line of the
// unit, and ends it by TERM. Each call is noted.
const fakeSystemctl = `#!/bin/sh
set -e
unit="$MACHINE/etc/systemd/system/datumbook.service"
[ -e "$unit" ] || unit="$MACHINE/usr/lib/systemd/system/datumbook.service"
pid="$MACHINE/pid"
echo "$*" >> "$MACHINE/calls"
runs() { [ -e "$pid" ] && [ "$(awk '/^State/{print $2}' "/proc/$(cat "$pid")/status" 2>/dev/null || echo Z)" != Z ]; }
stop() {
  if runs; then
    kill "$(cat "$pid")"
    while runs; do sleep .05; done
  fi
  rm -f "$pid"
}
case "$1" in
  restart)
    stop
    line=$(sed -n "s|^ExecStart=\([^ ]*\) serve --data /|$MACHINE\1 serve --data $MACHINE/|p" "$unit")
    $line >> "$MACHINE/journal" 2>&1 &
    echo $! > "$pid" ;;
  disable) case "$*" in *--now*) stop ;; esac ;;
  show)
    if runs; then
      printf 'ActiveState=active\nSubState=running\nResult=success\nActiveEnterTimestamp=Mon 2026-11-30 21:00:00 UTC\n'
    else
      printf 'ActiveState=failed\nSubState=failed\nResult=exit-code\nActiveEnterTimestamp=\n'
    fi ;;
esac
`

// fakeUseradd makes a user with the numbers of whoever runs the test.
const fakeUseradd = `#!/bin/sh
echo "useradd $*" >> "$MACHINE/calls"
echo "datumbook:x:$(id -u):$(id -g)::/var/lib/datumbook:/usr/sbin/nologin" >> "$MACHINE/etc/passwd"
`

// machine is a folder that stands for a machine with systemd: nothing of the real one is touched.
func machine(t *testing.T) (*systemd, string) {
	root := t.TempDir()
	for name, text := range map[string]string{"bin/systemctl": fakeSystemctl, "bin/useradd": fakeUseradd,
		"etc/passwd": "root:x:0:0::/root:/bin/sh\n"} {
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(root, name)), 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(root, name), []byte(text), 0o755))
	}
	require.NoError(t, os.MkdirAll(filepath.Join(root, "run/systemd/system"), 0o755))
	t.Setenv("PATH", filepath.Join(root, "bin")+":"+os.Getenv("PATH"))
	t.Setenv("MACHINE", root)
	for _, name := range []string{"DATUMBOOK_ADDR", "DATUMBOOK_BOOK", "DATUMBOOK_NAME", "DATUMBOOK_DATA"} {
		t.Setenv(name, "")
	}
	m := &systemd{root: root, program: browsertest.Program(t), euid: func() int { return 0 }}
	t.Cleanup(func() {
		_, _ = run1("systemctl", "disable", "--now", unit.Name)
		if t.Failed() {
			journal, _ := os.ReadFile(filepath.Join(root, "journal"))
			t.Logf("the office said:\n%s", journal)
		}
	})
	return m, root
}

// service runs the command, and gives what it says.
func service(t *testing.T, m manager, args ...string) (code int, said string) {
	t.Helper()
	var out bytes.Buffer
	code = serviceOf(t.Context(), &console{&out, &out}, args, m)
	return code, out.String()
}

// quiet are flags by which an office of a test listens where nobody else does.
var quiet = []string{"--addr", "127.0.0.1:0", "--start-addr", "127.0.0.1:0"}

func read(t *testing.T, parts ...string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(parts...))
	require.NoError(t, err)
	return string(text)
}

// TestService installs the office on a machine, changes it, looks at it and takes it out. The program
// really runs, by the command line of the unit.
func TestService(t *testing.T) {
	m, root := machine(t)
	code, said := service(t, m, "status")
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, said, "is not installed as a service")

	code, said = service(t, m, append([]string{"install", "--name", "shop.local"}, quiet...)...)
	require.Equal(t, exitOK, code, said)
	assert.Contains(t, said, "Records: /var/lib/datumbook")
	assert.Regexp(t, `It serves at https://127\.0\.0\.1:\d+`, said)
	text := read(t, root, unitHere)
	assert.Contains(t, text, "ExecStart=/usr/local/bin/datumbook serve --data /var/lib/datumbook --lan "+
		"--addr 127.0.0.1:0 --name shop.local --start-addr 127.0.0.1:0\n")
	data := filepath.Join(root, unit.Data)
	info, err := os.Stat(data)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o700), info.Mode().Perm())
	info, err = os.Stat(filepath.Join(root, unitHere))
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o644), info.Mode().Perm())
	authority := read(t, data, "authority.pem")
	assert.Equal(t, "useradd --system --user-group --home-dir /var/lib/datumbook --no-create-home --shell /usr/sbin/nologin datumbook\n"+
		"daemon-reload\nenable datumbook.service\nrestart datumbook.service\n", read(t, root, "calls"))

	code, said = service(t, m, "status")
	assert.Equal(t, exitOK, code, said)
	assert.Contains(t, said, "is installed as a service and runs, since Mon 2026-11-30 21:00:00 UTC.")
	assert.Contains(t, said, "Records: /var/lib/datumbook\n")
	assert.Contains(t, said, "Address: https://127.0.0.1:")
	assert.Contains(t, said, "Log: journalctl -u datumbook")

	// A second time: the unit changes, the program is the newer one, records and certificate stay.
	runs(t, m.program, "demo", "--data", data)
	was := read(t, root, "pid")
	code, said = service(t, m, append([]string{"install", "--name", "other.local", "--snapshots", "3"}, quiet...)...)
	require.Equal(t, exitOK, code, said)
	text = read(t, root, unitHere)
	assert.Contains(t, text, "--name other.local")
	assert.Contains(t, text, "--snapshots 3")
	assert.NotContains(t, text, "shop.local")
	assert.NotEqual(t, was, read(t, root, "pid"))
	assert.Equal(t, authority, read(t, data, "authority.pem"))
	assert.Equal(t, 1, strings.Count(read(t, root, "calls"), "useradd"))

	code, said = service(t, m, "remove")
	require.Equal(t, exitOK, code, said)
	assert.Contains(t, said, "Its records stay in /var/lib/datumbook")
	assert.NoFileExists(t, filepath.Join(root, unitHere))
	assert.NoFileExists(t, filepath.Join(root, "pid"))
	report, err := store.VerifyFile(t.Context(), filepath.Join(data, storeFile))
	require.NoError(t, err)
	assert.Empty(t, report.Problems)
	assert.Greater(t, report.Docs, 80)
	code, said = service(t, m, "remove")
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, said, "is not installed")
}

// Where systemd does not run the unit is written all the same, and it is said that nothing was started.
func TestServiceWithoutSystemd(t *testing.T) {
	m, root := machine(t)
	require.NoError(t, os.Remove(filepath.Join(root, "run/systemd/system")))
	code, said := service(t, m, "install", "--data", "/srv/shop/records")
	require.Equal(t, exitOK, code, said)
	assert.Contains(t, said, "systemd does not run here: the office was not started")
	assert.Contains(t, said, `serve --data "/srv/shop/records" --lan`)
	assert.Contains(t, read(t, root, unitHere), "ReadWritePaths=/srv/shop/records\n")
	info, err := os.Stat(filepath.Join(root, "srv/shop"))
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o755), info.Mode().Perm(), "the service has to come through")
	code, said = service(t, m, "status")
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, said, "does not run.\nsystemd does not run here, so nothing starts it.\nRecords: /srv/shop/records\n")
	code, said = service(t, m, "remove")
	require.Equal(t, exitOK, code, said)
	assert.DirExists(t, filepath.Join(root, "srv/shop/records"))
	assert.NotContains(t, read(t, root, "calls"), "restart")
}

// What cannot be done is refused in words, before anything is changed.
func TestServiceRefuses(t *testing.T) {
	m, root := machine(t)
	for _, c := range []struct {
		name, says string
		args       []string
	}{
		{"home", "--data: the service sees nothing of /home/", []string{"install", "--data", "/home/me/records"}},
		{"other things", "--data: the folder", []string{"install", "--data", "/etc"}},
		{"certificate", "--cert: the file cannot be read", []string{"install", "--cert", "/none.pem", "--key", "/none.pem"}},
		{"line break", "a line break cannot stand", []string{"install", "--name", "a\nb"}},
		{"word", "usage: datumbook service", []string{"instal"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, said := service(t, m, c.args...)
			assert.NotEqual(t, exitOK, code)
			assert.Contains(t, said, c.says)
			assert.NoFileExists(t, filepath.Join(root, unitHere))
			assert.NoFileExists(t, filepath.Join(root, programHere))
			assert.NoFileExists(t, filepath.Join(root, "calls"))
		})
	}
	m.euid = func() int { return 1000 }
	for _, do := range []string{"install", "remove"} {
		code, said := service(t, m, do)
		assert.Equal(t, exitFailed, code)
		assert.Contains(t, said, "only the administrator may do this: try it with sudo before it")
	}
	m.euid = func() int { return 0 }

	// An office that serves the records is not served a second time over.
	data := filepath.Join(root, "srv/records")
	browsertest.StartOffice(t, data)
	code, said := service(t, m, "install", "--data", "/srv/records")
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, said, "an office serves these records already")
}

// What the service says when it ends at once: the sentence is in its log, and status tells that it
// does not run.
func TestServiceThatEnds(t *testing.T) {
	m, root := machine(t)
	data := filepath.Join(root, "srv/records")
	require.NoError(t, os.MkdirAll(data, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(data, storeFile), []byte("no store"), 0o600))
	started, err := m.install(servicePlan{data: "/srv/records", args: quiet}, t.Logf)
	require.NoError(t, err)
	assert.True(t, started)
	require.Eventually(t, func() bool {
		s, err := m.status()
		return err == nil && !s.running
	}, browserWait, browserTick)
	code, said := service(t, m, "status")
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, said, "does not run.\nsystemd says: failed (failed), exit-code.\n")
	assert.Contains(t, read(t, root, "journal"), "is not a Datumbook store")
}

// The package's unit is not the command's to take out.
func TestServiceOfThePackage(t *testing.T) {
	m, root := machine(t)
	text, err := unit.Unit{Program: "/usr/bin/datumbook", Data: unit.Data, Args: []string{"--lan"}}.Text()
	require.NoError(t, err)
	require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(root, unitPackage)), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(root, unitPackage), []byte(text), 0o600))
	_, said := service(t, m, "status")
	assert.Contains(t, said, "Records: /var/lib/datumbook")
	code, said := service(t, m, "remove")
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, said, "apt remove datumbook")

	// Installed from the package's program, the unit names that one and none is copied.
	m.program = filepath.Join(root, "usr/bin/datumbook")
	require.NoError(t, placeProgram(browsertest.Program(t), m.program))
	code, said = service(t, m, append([]string{"install"}, quiet...)...)
	require.Equal(t, exitOK, code, said)
	assert.Contains(t, read(t, root, unitHere), "ExecStart=/usr/bin/datumbook serve")
	assert.NoFileExists(t, filepath.Join(root, programHere))
}

// TestUpgradeOfAnOffice starts a newer program on the records of an earlier format: they are copied
// first, and nothing is lost; a program that is too old refuses them and names the copy.
func TestUpgradeOfAnOffice(t *testing.T) {
	data := t.TempDir()
	sample, err := os.ReadFile("../../store/testdata/format-003.db")
	require.NoError(t, err)
	path := filepath.Join(data, storeFile)
	require.NoError(t, os.WriteFile(path, sample, 0o600))
	snapshots := filepath.Join(data, snapshotDir)
	copies := func() []string {
		list, err := store.UpgradeCopies(snapshots)
		require.NoError(t, err)
		var out []string
		for _, c := range list {
			out = append(out, fmt.Sprintf("%d %s", c.Format, filepath.Base(c.Path)))
		}
		return out
	}
	office := browsertest.StartOffice(t, data)
	office.Kill()
	list := copies()
	require.Len(t, list, 1)
	assert.Regexp(t, `^3 before-upgrade-3-\d{8}-\d{6}\.db$`, list[0])
	version := read(t, data, versionFile)
	assert.Regexp(t, `^\{"version":".+"\}\n$`, version)

	// The same version again makes none; another one does.
	office = browsertest.StartOffice(t, data)
	office.Kill()
	assert.Equal(t, list, copies())
	require.NoError(t, os.WriteFile(filepath.Join(data, versionFile), []byte(`{"version":"another"}`), 0o600))
	office = browsertest.StartOffice(t, data)
	office.Kill()
	assert.Len(t, copies(), 2)
	assert.Equal(t, version, read(t, data, versionFile))

	// A new office has nothing to keep.
	fresh := t.TempDir()
	office = browsertest.StartOffice(t, fresh)
	office.Kill()
	left, err := filepath.Glob(filepath.Join(fresh, snapshotDir, "before-upgrade-*"))
	require.NoError(t, err)
	assert.Empty(t, left)
	assert.FileExists(t, filepath.Join(fresh, versionFile))
}

// TestCommandsUpgradeWithACopy: whichever command comes first to records of an earlier format.
func TestCommandsUpgradeWithACopy(t *testing.T) {
	sample, err := os.ReadFile("../../store/testdata/format-003.db")
	require.NoError(t, err)
	for _, args := range [][]string{{"devices"}, {"audit"}, {"compact"}, {"export", "all.json", "--book", "jobs"}, {"backup", "b.db"}} {
		t.Run(args[0], func(t *testing.T) {
			data := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(data, storeFile), sample, 0o600))
			for i, a := range args {
				if strings.Contains(a, ".") {
					args[i] = filepath.Join(data, a)
				}
			}
			var out bytes.Buffer
			code := run(t.Context(), append(args, "--data", data), &out, &out)
			require.Equal(t, exitOK, code, out.String())
			list, err := store.UpgradeCopies(filepath.Join(data, snapshotDir))
			require.NoError(t, err)
			assert.Len(t, list, 1)
		})
	}
}

// TestHandedOnFlags holds the flags that 'service install' hands on against those of serve.
func TestHandedOnFlags(t *testing.T) {
	_, said := service(t, &systemd{euid: os.Geteuid}, "install", "--help")
	serves := regexp.MustCompile(`(?m)^ +(?:-\w, )?--([a-z-]+)`).FindAllStringSubmatch(said, -1)
	known := map[string]bool{"data": true, "lan": true, "origin": true, "proxy": true, "verbose": true}
	for _, h := range handedOn {
		known[h.name] = true
	}
	require.NotEmpty(t, serves)
	for _, f := range serves {
		assert.True(t, known[f[1]], "--%s is offered and not handed on", f[1])
	}
}

// TestDowngradeIsRefused starts this program on records of a later format, as one that is too old:
// nothing in the folder changes, and the words lead back to the copy that was made before the upgrade.
func TestDowngradeIsRefused(t *testing.T) {
	data := t.TempDir()
	var out bytes.Buffer
	require.Equal(t, exitOK, run(t.Context(), []string{"demo", "--data", data}, &out, &out), out.String())
	path := filepath.Join(data, storeFile)
	st, err := openToChange(path)
	require.NoError(t, err)
	copied, err := st.CopyBefore(t.Context(), *officeStore(path).Upgrade)
	require.NoError(t, err)
	require.NoError(t, st.Close())
	raiseFormat(t, path)
	files := func() map[string]string {
		all := map[string]string{}
		for _, pattern := range []string{"*", snapshotDir + "/*"} {
			names, err := filepath.Glob(filepath.Join(data, pattern))
			require.NoError(t, err)
			for _, name := range names {
				if info, err := os.Stat(name); err == nil && info.Mode().IsRegular() {
					all[name] = read(t, name)
				}
			}
		}
		return all
	}
	before := files()
	require.Len(t, before, 2)
	for _, args := range [][]string{{"serve", "--addr", "127.0.0.1:0"}, {"devices"}, {"demo"}} {
		out.Reset()
		assert.Equal(t, exitFailed, run(t.Context(), append(args, "--data", data), &out, &out))
		assert.Contains(t, out.String(), "use a newer Datumbook")
		assert.Contains(t, out.String(), "'datumbook restore "+copied+"'")
		require.Equal(t, before, files(), args[0])
	}
	out.Reset()
	require.Equal(t, exitOK, run(t.Context(), []string{"restore", copied, "--data", data}, &out, &out), out.String())
	office := browsertest.StartOffice(t, data)
	office.Kill()
}

// raiseFormat gives a store a format that no program knows yet, as store/doc.go describes it: the
// number, sealed by a sum over its key and itself.
func raiseFormat(t *testing.T, path string) {
	db, err := bolt.Open(path, 0o600, nil)
	require.NoError(t, err)
	require.NoError(t, db.Update(func(tx *bolt.Tx) error {
		key, value := []byte("format"), []byte{0, 0, 0, 99}
		sum := crc32.Checksum(append(bytes.Clone(key), value...), crc32.MakeTable(crc32.Castagnoli))
		return tx.Bucket([]byte("meta")).Put(key, binary.BigEndian.AppendUint32(value, sum))
	}))
	require.NoError(t, db.Close())
}
