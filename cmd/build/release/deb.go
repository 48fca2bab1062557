package release

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"crypto/md5"
	_ "embed"
	"fmt"
	"strings"
	"time"

	"datumbook/cmd/datumbook/unit"
)

// Deb is a Debian package. It is written here, since it is little: an archive of two archives
// (deb(5), ar(5)). The libraries that write one bring what writes every other kind of package too, or
// have had no release for years.
type Deb struct {
	Arch     string // Debian's name, such as armhf
	Version  string
	Date     time.Time // of every file in it
	Program  []byte
	Licences []byte
}

// The scripts that dpkg runs (Debian Policy, chapter 6). Their paths begin with DPKG_ROOT, which dpkg
// sets where it works on another root than its own.
var (
	//go:embed postinst.sh
	postinst string
	//go:embed prerm.sh
	prerm string
	//go:embed postrm.sh
	postrm string
)

const copyright = `Format: https://www.debian.org/doc/packaging-manuals/copyright-format/1.0/
Upstream-Name: datumbook
Comment: What others wrote and is in the program is named, each with its own licence, in licences.txt.gz beside this file.
`

// entry is a file of the package, or a folder where its name ends in /.
type entry struct {
	name string
	mode int64
	body []byte
}

// Bytes gives the package.
func (d Deb) Bytes() ([]byte, error) {
	service, err := unit.Unit{Program: "/usr/bin/datumbook", Data: unit.Data, Args: []string{"--lan"}}.Text()
	if err != nil {
		return nil, err
	}
	licences, err := squeezed(d.Licences)
	if err != nil {
		return nil, err
	}
	files := []entry{
		{"usr/bin/datumbook", 0o755, d.Program},
		{"usr/lib/systemd/system/" + unit.Name, 0o644, []byte(service)},
		{"usr/share/doc/datumbook/copyright", 0o644, []byte(copyright)},
		{"usr/share/doc/datumbook/licences.txt.gz", 0o644, licences},
	}
	var sums strings.Builder
	size := 0
	for _, f := range files {
		fmt.Fprintf(&sums, "%x  %s\n", md5.Sum(f.body), f.name)
		size += len(f.body)
	}
	control, err := d.archive([]entry{
		{"control", 0o644, []byte(d.control(size))},
		{"md5sums", 0o644, []byte(sums.String())},
		{"postinst", 0o755, []byte(postinst)},
		{"postrm", 0o755, []byte(postrm)},
		{"prerm", 0o755, []byte(prerm)},
	})
	if err != nil {
		return nil, err
	}
	data, err := d.archive(files)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	out.WriteString("!<arch>\n")
	for _, member := range []entry{{"debian-binary", 0, []byte("2.0\n")}, {"control.tar.gz", 0, control}, {"data.tar.gz", 0, data}} {
		fmt.Fprintf(&out, "%-16s%-12d%-6d%-6d%-8s%-10d`\n", member.name, d.Date.Unix(), 0, 0, "100644", len(member.body))
		out.Write(member.body)
		if len(member.body)%2 == 1 {
			out.WriteByte('\n')
		}
	}
	return out.Bytes(), nil
}

// control describes the package; size is that of its files, in bytes.
func (d Deb) control(size int) string {
	return fmt.Sprintf(`Package: datumbook
Version: %s
Architecture: %s
Maintainer: Datumbook <datumbook@localhost>
Installed-Size: %d
Depends: passwd, init-system-helpers
Suggests: chromium
Section: misc
Priority: optional
Description: a machinist's book for one casting, on phones and the office machine
 Plans and records the machining of a casting, setup by setup, on manual
 machines. The office keeps the shop's records and serves the phones, which
 work with no signal too.
`, d.Version, d.Arch, (size+1023)/1024)
}

// archive packs files, and the folders above them, in the order given.
func (d Deb) archive(files []entry) ([]byte, error) {
	var packed bytes.Buffer
	zip, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	out := tar.NewWriter(zip)
	add := func(name string, mode int64, kind byte, body []byte) error {
		if err := out.WriteHeader(&tar.Header{Name: "./" + name, Mode: mode, Typeflag: kind, Size: int64(len(body)),
			ModTime: d.Date, Uname: "root", Gname: "root", Format: tar.FormatGNU}); err != nil {
			return err
		}
		_, err := out.Write(body)
		return err
	}
	done := map[string]bool{}
	for _, f := range files {
		for i, c := range "/" + f.name {
			folder := f.name[:max(0, i-1)]
			if c != '/' || done[folder] {
				continue
			}
			done[folder] = true
			if folder != "" {
				folder += "/"
			}
			if err := add(folder, 0o755, tar.TypeDir, nil); err != nil {
				return nil, err
			}
		}
		if err := add(f.name, f.mode, tar.TypeReg, f.body); err != nil {
			return nil, err
		}
	}
	if err := out.Close(); err != nil {
		return nil, err
	}
	err = zip.Close()
	return packed.Bytes(), err
}

func squeezed(body []byte) ([]byte, error) {
	var packed bytes.Buffer
	zip, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := zip.Write(body); err != nil {
		return nil, err
	}
	err = zip.Close()
	return packed.Bytes(), err
}
