package main

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/kardianos/service"
)

const (
	macUser    = "_datumbook"
	macProgram = "/usr/local/bin/datumbook"
	macPlist   = "/Library/LaunchDaemons/" + serviceName + ".plist"
)

// launchd keeps the service on macOS.
type launchd struct{}

func newManager() manager { return launchd{} }

func (launchd) outside(path string) string { return path }
func (launchd) records() string            { return "/Library/Application Support/Datumbook" }

func (launchd) may() error {
	if os.Geteuid() != 0 {
		return errors.New("only the administrator may do this: try it with sudo before it")
	}
	return nil
}

// plist is the library's own, but that what the office writes is its own to read.
const plist = `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE plist PUBLIC "-//Apple//DTD PLIST 1.0//EN" "http://www.apple.com/DTDs/PropertyList-1.0.dtd">
<plist version="1.0">
<dict>
	<key>Label</key>
	<string>{{Name | html}}</string>
	<key>ProgramArguments</key>
	<array>
		<string>{{Path | html}}</string>
{{range Arguments}}		<string>{{. | html}}</string>
{{end}}	</array>
	<key>KeepAlive</key>
	<{{KeepAlive}}/>
	<key>RunAtLoad</key>
	<{{RunAtLoad}}/>
	<key>UserName</key>
	<string>{{UserName | html}}</string>
	<key>Umask</key>
	<integer>63</integer>
	<key>StandardErrorPath</key>
	<string>{{StandardErrorPath | html}}</string>
	<key>StandardOutPath</key>
	<string>{{StandardOutPath | html}}</string>
</dict>
</plist>
`

func (m launchd) service(plan servicePlan) (service.Service, error) {
	return service.New(nil, &service.Config{
		Name: serviceName, UserName: macUser, Executable: macProgram,
		Arguments: append([]string{"serve", "--data", plan.data}, plan.args...),
		Option: service.KeyValue{"KeepAlive": true, "RunAtLoad": true, "LaunchdConfig": plist,
			"LogDirectory": filepath.Join(plan.data, "log")},
	})
}

func (m launchd) install(plan servicePlan, say func(string, ...any)) (started bool, err error) {
	s, err := m.service(plan)
	if err != nil {
		return false, err
	}
	if _, err := os.Stat(macPlist); err == nil { // the library changes none that is there
		if err := s.Uninstall(); err != nil {
			return false, fmt.Errorf("the service that is there cannot be changed: %w", err)
		}
	}
	self, err := os.Executable()
	if err != nil {
		return false, err
	}
	if err := placeProgram(self, macProgram); err != nil {
		return false, err
	}
	if err := macAccount(); err != nil {
		return false, err
	}
	logs := filepath.Join(plan.data, "log")
	err = os.MkdirAll(filepath.Dir(plan.data), 0o755)
	if err == nil {
		err = os.MkdirAll(logs, 0o700)
	}
	if err == nil {
		err = system("chown", "-R", "-P", macUser+":"+macUser, plan.data)
	}
	if err == nil {
		err = os.Chmod(plan.data, 0o700)
	}
	if err != nil {
		return false, fmt.Errorf("the folder of the records cannot be made the office's own: %w", err)
	}
	if err := s.Install(); err != nil {
		return false, fmt.Errorf("the service cannot be installed: %w", err)
	}
	if err := s.Start(); err != nil {
		return false, fmt.Errorf("the service is installed and does not start: %w", err)
	}
	return true, nil
}

// macAccount makes the user and group that the office runs as, hidden and without a way to log in,
// where they are not there.
func macAccount() error {
	if system("dscl", ".", "-read", "/Users/"+macUser) == nil {
		return nil
	}
	id, err := freeID()
	if err != nil {
		return err
	}
	for _, words := range [][]string{
		{"/Groups/" + macUser}, {"/Groups/" + macUser, "PrimaryGroupID", id}, {"/Groups/" + macUser, "Password", "*"},
		{"/Users/" + macUser}, {"/Users/" + macUser, "UniqueID", id}, {"/Users/" + macUser, "PrimaryGroupID", id},
		{"/Users/" + macUser, "UserShell", "/usr/bin/false"}, {"/Users/" + macUser, "NFSHomeDirectory", "/var/empty"},
		{"/Users/" + macUser, "RealName", "Datumbook office"}, {"/Users/" + macUser, "Password", "*"},
		{"/Users/" + macUser, "IsHidden", "1"},
	} {
		if err := system("dscl", append([]string{".", "-create"}, words...)...); err != nil {
			return fmt.Errorf("the user '%s' that the office runs as could not be made: %w", macUser, err)
		}
	}
	return nil
}

// freeID gives a number that no user and no group has, among those of services.
func freeID() (string, error) {
	taken := map[int]bool{}
	for _, list := range [][]string{{"/Users", "UniqueID"}, {"/Groups", "PrimaryGroupID"}} {
		out, err := exec.Command("dscl", ".", "-list", list[0], list[1]).Output()
		if err != nil {
			return "", fmt.Errorf("the users of this machine cannot be listed: %w", err)
		}
		for line := range strings.Lines(string(out)) {
			words := strings.Fields(line)
			if len(words) == 0 {
				continue
			}
			if n, err := strconv.Atoi(words[len(words)-1]); err == nil {
				taken[n] = true
			}
		}
	}
	for id := 499; id > 400; id-- {
		if !taken[id] {
			return strconv.Itoa(id), nil
		}
	}
	return "", errors.New("no number is free for the user that the office runs as")
}

func system(name string, args ...string) error {
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		return fmt.Errorf("%s: %w: %s", name, err, strings.TrimSpace(string(out)))
	}
	return nil
}

func (m launchd) remove() error {
	s, err := m.service(servicePlan{})
	if err == nil {
		err = s.Uninstall()
	}
	if err != nil {
		return fmt.Errorf("the service was not removed: %w", err)
	}
	return nil
}

func (m launchd) status() (serviceStatus, error) {
	var state serviceStatus
	text, err := os.ReadFile(macPlist)
	if errors.Is(err, fs.ErrNotExist) {
		return state, errNotInstalled
	}
	if err != nil {
		return state, fmt.Errorf("the service cannot be looked at: %w", err)
	}
	state.installed = true
	state.data = dataOf(string(text))
	state.log = filepath.Join(state.data, "log", serviceName+".err.log")
	s, err := m.service(servicePlan{data: state.data})
	if err != nil {
		return state, err
	}
	was, err := s.Status()
	if err != nil && os.Geteuid() != 0 {
		state.words = "Whether it runs is told to the administrator only: try it with sudo before it."
		return state, nil
	}
	state.running = was == service.StatusRunning
	return state, nil
}

// dataOf reads the folder of the records from the list of arguments.
func dataOf(text string) string {
	in := xml.NewDecoder(strings.NewReader(text))
	next := false
	for {
		token, err := in.Token()
		if err != nil {
			return ""
		}
		word, ok := token.(xml.CharData)
		switch {
		case !ok || strings.TrimSpace(string(word)) == "":
		case next:
			return string(word)
		default:
			next = string(word) == "--data"
		}
	}
}

// underManager serves: launchd ends its programs by a signal, as Ctrl-C does.
func underManager(ctx context.Context, c *console, cfg serveConfig) error { return serve(ctx, c, cfg) }
