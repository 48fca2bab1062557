package release

import (
	"bytes"
	"context"
	"debug/buildinfo"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"

	cyclonedx "github.com/CycloneDX/cyclonedx-go"
	"github.com/google/licensecheck"
	"github.com/google/uuid"
)

// part is one thing of others that is in the programs.
type part struct {
	name, version string
	url           string // as package URLs name it (github.com/package-url/purl-spec)
	licence       string // in SPDX's names
	text          []byte // of its licence; nil where the app's own list has it
}

// parts lists what is in the programs: the Go modules that they name themselves, Go's own library,
// and the packages of the app that is in them.
func (r *Release) parts(ctx context.Context) ([]part, error) {
	modules := map[string]string{}
	toolchain := ""
	for _, t := range r.Targets {
		info, err := buildinfo.ReadFile(r.path(t))
		if err != nil {
			return nil, err
		}
		toolchain = info.GoVersion
		for _, m := range info.Deps {
			if m.Replace != nil {
				return nil, fmt.Errorf("%s is replaced by %s: say here what it is then", m.Path, m.Replace.Path)
			}
			modules[m.Path] = m.Version
		}
	}
	goroot, err := goSays(ctx, r.Root, "env", "GOROOT")
	if err != nil {
		return nil, err
	}
	version := strings.TrimPrefix(toolchain, "go")
	std, err := licensed(part{name: "std", version: version, url: "pkg:golang/std@" + version}, strings.TrimSpace(string(goroot)))
	if err != nil {
		return nil, err
	}
	std.text = nil // the app has it too
	list := []part{std}
	args := []string{"list", "-m", "-json"}
	for path := range modules {
		args = append(args, path)
	}
	out, err := goSays(ctx, r.Root, args...)
	if err != nil {
		return nil, err
	}
	for in := json.NewDecoder(bytes.NewReader(out)); ; {
		var m struct{ Path, Version, Dir string }
		if err := in.Decode(&m); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, err
		}
		p, err := licensed(part{name: m.Path, version: modules[m.Path], url: "pkg:golang/" + m.Path + "@" + modules[m.Path]}, m.Dir)
		if err != nil {
			return nil, err
		}
		list = append(list, p)
	}
	app, err := r.appParts()
	if err != nil {
		return nil, err
	}
	list = append(list, app...)
	slices.SortFunc(list, func(a, b part) int { return strings.Compare(a.url, b.url) })
	return list, nil
}

// appParts lists the JavaScript packages that the built app says it contains.
func (r *Release) appParts() ([]part, error) {
	text, err := r.appLicences()
	if err != nil {
		return nil, err
	}
	var list []part
	for line := range strings.Lines(string(text)) {
		name, ok := strings.CutPrefix(strings.TrimSpace(line), "==== ")
		name, ok2 := strings.CutSuffix(name, " ====")
		if !ok || !ok2 || name == "Go" || len(list) > 0 && list[len(list)-1].name == name {
			continue
		}
		body, err := os.ReadFile(filepath.Join(r.Root, "pwa", "node_modules", filepath.FromSlash(name), "package.json"))
		if err != nil {
			return nil, fmt.Errorf("the package %s of the app cannot be read: %w", name, err)
		}
		var about struct{ Version, License string }
		if err := json.Unmarshal(body, &about); err != nil || about.Version == "" || about.License == "" {
			return nil, fmt.Errorf("the package %s does not say its version and licence: look them up and say them here", name)
		}
		list = append(list, part{name: name, version: about.Version, licence: about.License,
			url: "pkg:npm/" + strings.ReplaceAll(url.PathEscape(name), "%2F", "/") + "@" + about.Version})
	}
	if len(list) == 0 {
		return nil, errors.New("the app names no packages: build it anew (go run ./cmd/build)")
	}
	return list, nil
}

func (r *Release) appLicences() ([]byte, error) {
	text, err := os.ReadFile(filepath.Join(r.Root, "pwa", "dist", "licences.txt"))
	if err != nil {
		return nil, fmt.Errorf("the app is not built: go run ./cmd/build: %w", err)
	}
	return text, nil
}

// licensed adds the licence of a folder: its text, and its name where the text is a known one.
func licensed(p part, dir string) (part, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return p, fmt.Errorf("%s cannot be looked into for its licence: %w", p.name, err)
	}
	var ids []string
	for _, e := range entries {
		upper := strings.ToUpper(e.Name())
		if e.IsDir() || !strings.HasPrefix(upper, "LICEN") && !strings.HasPrefix(upper, "COPYING") && !strings.HasPrefix(upper, "NOTICE") {
			continue
		}
		body, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			return p, err
		}
		p.text = append(append(p.text, bytes.TrimSpace(body)...), "\n\n"...)
		for _, m := range licensecheck.Scan(body).Match {
			if !m.IsURL && !slices.Contains(ids, m.ID) {
				ids = append(ids, m.ID)
			}
		}
	}
	if len(ids) == 0 {
		return p, fmt.Errorf("%s brings no licence that is known: look up its terms and say here how it may be shipped", p.name)
	}
	slices.Sort(ids)
	p.licence = strings.Join(ids, " AND ")
	return p, nil
}

// licences puts the licence texts of all parts behind those that the app serves.
func (r *Release) licences(parts []part) ([]byte, error) {
	app, err := r.appLicences()
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	out.Write(app)
	out.WriteString("\nThe program contains the following modules as well.\n")
	for _, p := range parts {
		if p.text != nil {
			fmt.Fprintf(&out, "\n==== %s ====\n\n%s\n", p.name, bytes.TrimSpace(p.text))
		}
	}
	return out.Bytes(), nil
}

// sbom lists the parts in CycloneDX's form.
func (r *Release) sbom(parts []part) ([]byte, error) {
	bom := cyclonedx.NewBOM()
	bom.SerialNumber = uuid.NewSHA1(uuid.NameSpaceOID, []byte("datumbook "+r.Version.Text)).URN()
	product := cyclonedx.Component{BOMRef: "datumbook", Type: cyclonedx.ComponentTypeApplication,
		Name: "datumbook", Version: r.Version.Text}
	bom.Metadata = &cyclonedx.Metadata{Timestamp: r.Version.Date.Format("2006-01-02T15:04:05Z"), Component: &product}
	var all []cyclonedx.Component
	var refs []string
	for _, p := range parts {
		all = append(all, cyclonedx.Component{BOMRef: p.url, Type: cyclonedx.ComponentTypeLibrary, Name: p.name,
			Version: p.version, PackageURL: p.url, Licenses: &cyclonedx.Licenses{{Expression: p.licence}}})
		refs = append(refs, p.url)
	}
	bom.Components = &all
	bom.Dependencies = &[]cyclonedx.Dependency{{Ref: "datumbook", Dependencies: &refs}}
	var out bytes.Buffer
	enc := cyclonedx.NewBOMEncoder(&out, cyclonedx.BOMFileFormatJSON).SetPretty(true)
	err := enc.EncodeVersion(bom, cyclonedx.SpecVersion1_6)
	return out.Bytes(), err
}
