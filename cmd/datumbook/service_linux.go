package main

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"

	"datumbook/cmd/datumbook/unit"
)

// systemd keeps the service on Linux. The library that does it elsewhere refuses a unit that is there
// already, needs a systemd that runs, and has a unit of its own, where ours is the Debian package's too.
type systemd struct {
	root    string // what stands before the paths of the machine; for tests
	program string // the program to install
	euid    func() int
}

func newManager() manager {
	self, err := os.Executable()
	if err == nil {
		self, err = filepath.EvalSymlinks(self)
	}
	if err != nil {
		self = os.Args[0]
	}
	return &systemd{program: self, euid: os.Geteuid}
}

// Where units are: the administrator's, which go before, and those of packages.
const (
	unitHere    = "/etc/systemd/system/" + unit.Name
	unitPackage = "/usr/lib/systemd/system/" + unit.Name
	programHere = "/usr/local/bin/datumbook"
	journal     = "journalctl -u " + serviceName
)

func (s *systemd) outside(path string) string { return filepath.Join(s.root, path) }
func (s *systemd) records() string            { return unit.Data }

func (s *systemd) may() error {
	if s.euid() != 0 {
		return errors.New("only the administrator may do this: try it with sudo before it")
	}
	return nil
}

// booted reports whether systemd runs this machine (sd_booted(3)).
func (s *systemd) booted() bool {
	info, err := os.Stat(s.outside("/run/systemd/system"))
	return err == nil && info.IsDir()
}

// hidden are the folders that the unit's ProtectHome hides from the office (systemd.exec(5)).
var hidden = []string{"/home/", "/root/", "/run/user/"}

func (s *systemd) install(plan servicePlan, say func(string, ...any)) (started bool, err error) {
	for i, path := range append([]string{plan.data}, plan.args...) {
		for _, h := range hidden {
			if strings.HasPrefix(path+"/", h) {
				name := "--data"
				if i > 1 {
					name = plan.args[i-2]
				}
				return false, fmt.Errorf("%s: the service sees nothing of %s; put it elsewhere, such as below %s or /srv", name, h, unit.Data)
			}
		}
	}
	u := unit.Unit{Program: programHere, Data: plan.data, Args: plan.args}
	rel, err := filepath.Rel(s.outside("/usr"), s.program)
	inPlace := err == nil && filepath.IsLocal(rel) // a package's, or put there by the administrator
	if inPlace {
		u.Program = filepath.Join("/usr", rel)
	}
	text, err := u.Text()
	if err != nil {
		return false, err
	}
	if !inPlace {
		if err := placeProgram(s.program, s.outside(programHere)); err != nil {
			return false, err
		}
	}
	uid, gid, err := s.user()
	if err != nil {
		return false, err
	}
	if err := s.own(plan.data, uid, gid); err != nil {
		return false, err
	}
	if err := os.MkdirAll(filepath.Dir(s.outside(unitHere)), 0o755); err != nil {
		return false, fmt.Errorf("the unit cannot be written: %w", err)
	}
	err = replaceFile(s.outside(unitHere), func(to io.Writer) error {
		_, err := io.WriteString(to, text)
		return err
	})
	if err == nil {
		err = os.Chmod(s.outside(unitHere), 0o644)
	}
	if err != nil {
		return false, fmt.Errorf("the unit %s was not written: %w", unitHere, err)
	}
	if _, err := exec.LookPath("systemctl"); err != nil || !s.booted() {
		if err == nil {
			_, _ = s.systemctl("enable", unit.Name) // only a link: the next start with systemd finds it
		}
		say("The unit %s is written, and systemd does not run here: the office was not started. "+
			"Until it does, start it by hand as the user '%s': %s serve --data %q %s",
			unitHere, unit.User, u.Program, plan.data, strings.Join(plan.args, " "))
		return false, nil
	}
	for _, args := range [][]string{{"daemon-reload"}, {"enable", unit.Name}, {"restart", unit.Name}} {
		if _, err := s.systemctl(args...); err != nil {
			return false, err
		}
	}
	return true, nil
}

// user gives the numbers of the office's user and its group, which it makes where it is not there.
func (s *systemd) user() (uid, gid int, err error) {
	uid, gid, err = s.look()
	if !errors.Is(err, fs.ErrNotExist) {
		return uid, gid, err
	}
	if out, err := run1("useradd", "--system", "--user-group", "--home-dir", unit.Data, "--no-create-home",
		"--shell", "/usr/sbin/nologin", unit.User); err != nil {
		return 0, 0, fmt.Errorf("the user '%s' that the office runs as could not be made: %w %s", unit.User, err, out)
	}
	return s.look()
}

// look reads the user from the machine's own list: useradd puts it there, whatever else users come
// from.
func (s *systemd) look() (uid, gid int, err error) {
	text, err := os.ReadFile(s.outside("/etc/passwd"))
	if err != nil {
		return 0, 0, err
	}
	for lines := bufio.NewScanner(bytes.NewReader(text)); lines.Scan(); {
		f := strings.Split(lines.Text(), ":")
		if f[0] != unit.User || len(f) < 4 {
			continue
		}
		uid, err = strconv.Atoi(f[2])
		if err == nil {
			gid, err = strconv.Atoi(f[3])
		}
		return uid, gid, err
	}
	return 0, 0, fmt.Errorf("the user '%s' is not in /etc/passwd: %w", unit.User, fs.ErrNotExist)
}

// own makes the data folder where it is not there, and gives it with all that is in it to the
// office's user.
func (s *systemd) own(data string, uid, gid int) error {
	dir := s.outside(data)
	err := os.MkdirAll(filepath.Dir(dir), 0o755)
	if err == nil {
		if err = os.Mkdir(dir, 0o700); errors.Is(err, fs.ErrExist) {
			err = nil
		}
	}
	if err == nil {
		err = filepath.WalkDir(dir, func(path string, _ fs.DirEntry, err error) error {
			return errors.Join(err, os.Lchown(path, uid, gid))
		})
	}
	if err == nil {
		err = os.Chmod(dir, 0o700)
	}
	if err != nil {
		return fmt.Errorf("the folder of the records cannot be made the office's own: %w", err)
	}
	return nil
}

func (s *systemd) remove() error {
	if _, err := os.Lstat(s.outside(unitHere)); errors.Is(err, fs.ErrNotExist) {
		return errors.New("this service came with the Debian package: 'apt remove datumbook' takes it out, and leaves the records")
	}
	_, missing := exec.LookPath("systemctl")
	if missing == nil {
		args := []string{"disable", unit.Name}
		if s.booted() {
			args = []string{"disable", "--now", unit.Name}
		}
		if _, err := s.systemctl(args...); err != nil {
			return err
		}
	}
	if err := os.Remove(s.outside(unitHere)); err != nil {
		return fmt.Errorf("the unit was not removed: %w", err)
	}
	if missing == nil && s.booted() {
		_, err := s.systemctl("daemon-reload")
		return err
	}
	return nil
}

func (s *systemd) status() (serviceStatus, error) {
	state := serviceStatus{log: journal}
	text, err := os.ReadFile(s.outside(unitHere))
	if errors.Is(err, fs.ErrNotExist) {
		text, err = os.ReadFile(s.outside(unitPackage))
	}
	if errors.Is(err, fs.ErrNotExist) {
		return state, errNotInstalled
	}
	if err != nil {
		return state, fmt.Errorf("the unit cannot be read: %w", err)
	}
	state.installed = true
	if u, err := unit.Parse(string(text)); err != nil {
		state.words = "Its unit was written by hand: " + err.Error() + "."
	} else {
		state.data = u.Data
	}
	if !s.booted() {
		state.words = strings.TrimSpace(state.words + " systemd does not run here, so nothing starts it.")
		return state, nil
	}
	out, err := s.systemctl("show", "--property=ActiveState,SubState,Result,ActiveEnterTimestamp", unit.Name)
	if err != nil {
		return state, err
	}
	said := map[string]string{}
	for line := range strings.Lines(out) {
		key, value, _ := strings.Cut(strings.TrimSpace(line), "=")
		said[key] = value
	}
	state.running = said["ActiveState"] == "active"
	if state.running {
		state.since = said["ActiveEnterTimestamp"]
	} else if said["ActiveState"] != "" {
		state.words = strings.TrimSpace(fmt.Sprintf("%s systemd says: %s (%s), %s.", state.words,
			said["ActiveState"], said["SubState"], said["Result"]))
	}
	return state, nil
}

func (s *systemd) systemctl(args ...string) (string, error) {
	out, err := run1("systemctl", args...)
	if err != nil {
		return out, fmt.Errorf("systemctl %s: %w: %s", strings.Join(args, " "), err, strings.TrimSpace(out))
	}
	return out, nil
}

// run1 runs a program of the system and gives all that it says.
func run1(name string, args ...string) (string, error) {
	out, err := exec.Command(name, args...).CombinedOutput()
	return string(out), err
}

// underManager serves: systemd ends its programs by a signal, as Ctrl-C does.
func underManager(ctx context.Context, c *console, cfg serveConfig) error { return serve(ctx, c, cfg) }
