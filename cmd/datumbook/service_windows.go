package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"github.com/kardianos/service"
	"golang.org/x/sys/windows"
	"golang.org/x/sys/windows/svc/mgr"
)

// account is the service's virtual account: the system makes it with the service, it has no password
// and no rights but those that it is given.
const account = `NT SERVICE\` + serviceName

// windowsManager keeps the service by the system's service manager.
type windowsManager struct{}

func newManager() manager { return windowsManager{} }

func (windowsManager) outside(path string) string { return path }

func (windowsManager) records() string { return filepath.Join(os.Getenv("ProgramData"), "Datumbook") }

func programPlace() string {
	return filepath.Join(os.Getenv("ProgramFiles"), "Datumbook", "datumbook.exe")
}

func logFile(data string) string { return filepath.Join(data, "log", "office.log") }

func (windowsManager) may() error {
	if !windows.GetCurrentProcessToken().IsElevated() {
		return errors.New("only an administrator may do this: open a terminal by 'Run as administrator' and try again")
	}
	return nil
}

func (m windowsManager) service(plan servicePlan) (service.Service, error) {
	return service.New(&program{}, &service.Config{
		Name: serviceName, DisplayName: "Datumbook office", Description: "Serves the shop's records to its phones.",
		UserName: account, Executable: programPlace(), Arguments: append([]string{"serve", "--data", plan.data}, plan.args...),
		Option: service.KeyValue{service.OnFailure: service.OnFailureRestart, service.OnFailureDelayDuration: "5s",
			service.OnFailureResetPeriod: 3600},
	})
}

func (m windowsManager) install(plan servicePlan, say func(string, ...any)) (started bool, err error) {
	s, err := m.service(plan)
	if err != nil {
		return false, err
	}
	was, err := s.Status()
	there := !errors.Is(err, service.ErrNotInstalled)
	if there && err != nil {
		return false, fmt.Errorf("the service cannot be looked at: %w", err)
	}
	if was == service.StatusRunning { // a program that runs cannot be replaced
		if err := s.Stop(); err != nil {
			return false, fmt.Errorf("the service does not stop: %w", err)
		}
	}
	self, err := os.Executable()
	if err != nil {
		return false, err
	}
	if err := placeProgram(self, programPlace()); err != nil {
		return false, err
	}
	if there {
		err = m.change(plan)
	} else {
		err = s.Install()
	}
	if err != nil {
		return false, fmt.Errorf("the service cannot be installed: %w", err)
	}
	if err := m.own(plan.data); err != nil {
		return false, err
	}
	if err := firewall("add", "dir=in", "action=allow", "profile=private,domain", "program="+programPlace()); err != nil {
		say("The firewall could not be told to let phones in (%v): allow %s for private networks.", err, programPlace())
	}
	if err := s.Start(); err != nil {
		return false, fmt.Errorf("the service is installed and does not start: %w", err)
	}
	return true, nil
}

// change gives the service that is there another command line.
func (windowsManager) change(plan servicePlan) error {
	m, err := mgr.Connect()
	if err != nil {
		return err
	}
	defer func() { _ = m.Disconnect() }()
	s, err := m.OpenService(serviceName)
	if err != nil {
		return err
	}
	defer s.Close()
	cfg, err := s.Config()
	if err != nil {
		return err
	}
	cfg.BinaryPathName = windows.ComposeCommandLine(append([]string{programPlace(), "serve", "--data", plan.data}, plan.args...))
	cfg.ServiceStartName, cfg.StartType = account, mgr.StartAutomatic
	return s.UpdateConfig(cfg)
}

// own gives the data folder to the service's account and to administrators, and to nobody else: other
// users may read what lies in ProgramData.
func (windowsManager) own(data string) error {
	if err := os.MkdirAll(data, 0o700); err != nil {
		return fmt.Errorf("the folder of the records cannot be made: %w", err)
	}
	sid, _, _, err := windows.LookupSID("", account)
	if err != nil {
		return fmt.Errorf("the service's own account is not known: %w", err)
	}
	// Full access, handed down to files and folders, for the system, administrators and the service.
	list, err := windows.SecurityDescriptorFromString("D:P(A;OICI;FA;;;SY)(A;OICI;FA;;;BA)(A;OICI;FA;;;" + sid.String() + ")")
	if err != nil {
		return err
	}
	dacl, _, err := list.DACL()
	if err == nil {
		err = windows.SetNamedSecurityInfo(data, windows.SE_FILE_OBJECT,
			windows.DACL_SECURITY_INFORMATION|windows.PROTECTED_DACL_SECURITY_INFORMATION, nil, nil, dacl, nil)
	}
	if err != nil {
		return fmt.Errorf("the folder of the records cannot be closed to other users: %w", err)
	}
	return nil
}

// firewall adds or deletes the rule that lets phones in.
func firewall(do string, with ...string) error {
	args := append([]string{"advfirewall", "firewall", do, "rule", "name=Datumbook office"}, with...)
	if do == "add" {
		_ = firewall("delete") // one rule, however often it is installed
	}
	out, err := exec.Command("netsh", args...).CombinedOutput()
	if err != nil {
		return fmt.Errorf("%w: %s", err, strings.TrimSpace(string(out)))
	}
	return nil
}

func (m windowsManager) remove() error {
	s, err := m.service(servicePlan{})
	if err != nil {
		return err
	}
	if was, err := s.Status(); err == nil && was == service.StatusRunning {
		if err := s.Stop(); err != nil {
			return fmt.Errorf("the service does not stop: %w", err)
		}
	}
	_ = firewall("delete")
	if err := s.Uninstall(); err != nil {
		return fmt.Errorf("the service was not removed: %w", err)
	}
	return nil
}

func (m windowsManager) status() (serviceStatus, error) {
	var state serviceStatus
	s, err := m.service(servicePlan{})
	if err != nil {
		return state, err
	}
	was, err := s.Status()
	switch {
	case errors.Is(err, service.ErrNotInstalled):
		return state, errNotInstalled
	case errors.Is(err, windows.ERROR_ACCESS_DENIED):
		return state, errors.New("only an administrator is told of the service: open a terminal by 'Run as administrator' and try again")
	case err != nil:
		return state, fmt.Errorf("the service cannot be looked at: %w", err)
	}
	state.installed, state.running = true, was == service.StatusRunning
	state.data = m.data()
	state.log = logFile(state.data)
	return state, nil
}

// data reads the folder of the records from the service's command line.
func (windowsManager) data() string {
	m, err := mgr.Connect()
	if err != nil {
		return ""
	}
	defer func() { _ = m.Disconnect() }()
	s, err := m.OpenService(serviceName)
	if err != nil {
		return ""
	}
	defer s.Close()
	cfg, err := s.Config()
	if err != nil {
		return ""
	}
	words, err := windows.DecomposeCommandLine(cfg.BinaryPathName)
	if err != nil || len(words) < 4 || words[2] != "--data" {
		return ""
	}
	return words[3]
}

// program is serve as the service manager runs it.
type program struct {
	run  func(ctx context.Context) error
	stop context.CancelFunc
	done chan error
}

// Start begins to serve and returns. If serving ends by itself the process ends with a failure, by
// which the manager knows that it has to start it again.
func (p *program) Start(service.Service) error {
	ctx, stop := context.WithCancel(context.Background())
	p.stop, p.done = stop, make(chan error, 1)
	go func() {
		err := p.run(ctx)
		if ctx.Err() == nil {
			os.Exit(exitFailed)
		}
		p.done <- err
	}()
	return nil
}

// Stop ends it as Ctrl-C does: what was begun is finished.
func (p *program) Stop(service.Service) error {
	p.stop()
	return <-p.done
}

// logMost is the size at which the log begins anew; the one before is kept.
const logMost = 8 << 20

// underManager serves, as a service where the service manager started this program. Its words then go
// to a file: there is no window to read them in.
func underManager(ctx context.Context, c *console, cfg serveConfig) error {
	if service.Interactive() {
		return serve(ctx, c, cfg)
	}
	name := logFile(cfg.data)
	if err := os.MkdirAll(filepath.Dir(name), 0o700); err != nil {
		return err
	}
	if info, err := os.Stat(name); err == nil && info.Size() > logMost {
		_ = os.Rename(name, name+".old")
	}
	log, err := os.OpenFile(name, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	defer log.Close()
	p := &program{run: func(ctx context.Context) error {
		err := serve(ctx, &console{log, log}, cfg)
		if err != nil {
			fmt.Fprintf(log, "datumbook: %v\n", err)
		}
		return err
	}}
	s, err := service.New(p, &service.Config{Name: serviceName})
	if err != nil {
		return err
	}
	return s.Run()
}
