package release

import (
	"bytes"
	"context"
	"debug/buildinfo"
	"debug/elf"
	"debug/macho"
	"debug/pe"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
)

// check looks whether a program is what its name says: by its header where it cannot be started here.
func (r *Release) check(ctx context.Context, t Target, path string) error {
	body, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	if err := Header(body, t); err != nil {
		return err
	}
	info, err := buildinfo.Read(bytes.NewReader(body))
	if err != nil {
		return fmt.Errorf("it does not tell how it was built: %w", err)
	}
	said := map[string]string{}
	for _, s := range info.Settings {
		said[s.Key] = s.Value
	}
	want := map[string]string{"GOOS": t.OS, "GOARCH": t.Arch, "CGO_ENABLED": "0", "-trimpath": "true"}
	if t.Arch == "arm" {
		want["GOARM"] = "7"
	}
	for key, value := range want {
		if said[key] != value {
			return fmt.Errorf("it was built with %s=%q, not %q", key, said[key], value)
		}
	}
	if !bytes.Contains(body, []byte(r.Version.Text)) {
		return fmt.Errorf("the version %s is not in it", r.Version.Text)
	}
	for _, name := range []string{"GOMODCACHE", "GOCACHE"} {
		dir, err := goSays(ctx, r.Root, "env", name)
		if err != nil {
			return err
		}
		if place := strings.TrimSpace(string(dir)); bytes.Contains(body, []byte(place)) {
			return fmt.Errorf("it holds a path of this machine, %s", place)
		}
	}
	if bytes.Contains(body, []byte(r.Root+"/")) {
		return fmt.Errorf("it holds a path of this machine, %s", r.Root)
	}
	if !t.here() {
		return nil
	}
	out, err := exec.CommandContext(ctx, path, "version").Output()
	if err != nil {
		return fmt.Errorf("it does not start: %w", err)
	}
	if got := strings.TrimSpace(string(out)); got != "datumbook "+r.Version.Text {
		return fmt.Errorf("it says that it is %q", got)
	}
	return nil
}

// Header looks at the file's format, processor, and what it needs of its system.
func Header(body []byte, t Target) error {
	f := bytes.NewReader(body)
	switch t.OS {
	case "windows":
		return peHeader(f, t)
	case "darwin":
		return machoHeader(f, t)
	}
	return elfHeader(f, t)
}

func elfHeader(f *bytes.Reader, t Target) error {
	file, err := elf.NewFile(f)
	if err != nil {
		return err
	}
	want := map[string]elf.Machine{"amd64": elf.EM_X86_64, "arm64": elf.EM_AARCH64, "arm": elf.EM_ARM}[t.Arch]
	if file.Machine != want {
		return fmt.Errorf("it is for %v, not %v", file.Machine, want)
	}
	for _, p := range file.Progs {
		if p.Type == elf.PT_INTERP || p.Type == elf.PT_DYNAMIC {
			return errors.New("it needs libraries of its system")
		}
	}
	return nil
}

func peHeader(f *bytes.Reader, t Target) error {
	file, err := pe.NewFile(f)
	if err != nil {
		return err
	}
	if file.Machine != pe.IMAGE_FILE_MACHINE_AMD64 || t.Arch != "amd64" {
		return fmt.Errorf("it is for machine %#x, not %s", file.Machine, t.Arch)
	}
	// With a console: the window that a double click opens, and the words of the commands.
	if h, ok := file.OptionalHeader.(*pe.OptionalHeader64); !ok || h.Subsystem != pe.IMAGE_SUBSYSTEM_WINDOWS_CUI {
		return errors.New("it has no console")
	}
	libraries, err := file.ImportedLibraries()
	if err != nil {
		return err
	}
	for _, name := range libraries {
		if !slices.Contains([]string{"kernel32.dll"}, strings.ToLower(name)) {
			return fmt.Errorf("it needs the library %s", name)
		}
	}
	return nil
}

// loadSignature is the load command of a signature, without which an Apple processor starts nothing
// (LC_CODE_SIGNATURE in mach-o/loader.h); Go's linker signs for this machine alone.
const loadSignature = 0x1d

func machoHeader(f *bytes.Reader, t Target) error {
	file, err := macho.NewFile(f)
	if err != nil {
		return err
	}
	want := map[string]macho.Cpu{"amd64": macho.CpuAmd64, "arm64": macho.CpuArm64}[t.Arch]
	if file.Cpu != want || file.Type != macho.TypeExec {
		return fmt.Errorf("it is for %v, not %v", file.Cpu, want)
	}
	libraries, err := file.ImportedLibraries()
	if err != nil {
		return err
	}
	for _, name := range libraries {
		if !strings.HasPrefix(name, "/usr/lib/") && !strings.HasPrefix(name, "/System/Library/") {
			return fmt.Errorf("it needs the library %s", name)
		}
	}
	signed := slices.ContainsFunc(file.Loads, func(l macho.Load) bool {
		return file.ByteOrder.Uint32(l.Raw()) == loadSignature
	})
	if t.Arch == "arm64" && !signed {
		return errors.New("it has no signature")
	}
	return nil
}

// goSays runs the go command and gives what it prints.
func goSays(ctx context.Context, root string, args ...string) ([]byte, error) {
	cmd := exec.CommandContext(ctx, "go", args...)
	cmd.Dir, cmd.Env = root, environment()
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("go %s: %w\n%s", args[0], err, bytes.TrimSpace(complaints.Bytes()))
	}
	return out, nil
}
