package main

import (
	"context"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"time"

	"datumbook/pwa"
	"datumbook/server"
	"datumbook/server/lan"
	"datumbook/store"
)

const doctorUsage = `usage: datumbook doctor [flags]

Checks what the office rests on: the data folder, free space, the clock, the
records, the newest snapshot, the copies elsewhere, the certificate, the
address, the app.

`

// finding is one line of the report: all well, or what is wrong and what to do.
type finding struct {
	what, says string
	bad        bool
}

// doctorCommand checks everything and exits non-zero where something is wrong.
func doctorCommand(ctx context.Context, c *console, args []string) int {
	var data string
	flags := keepFlags(c, "doctor", doctorUsage, &data)
	addr := flags.String("addr", envOr("DATUMBOOK_ADDR", server.DefaultAddr), "the address the office would listen on")
	if code, ok := parsed(c, flags, args, 0); !ok {
		return code
	}
	o, serving := findOffice(ctx, data)
	list := []finding{checkFolder(data), checkSpace(data), checkClock(data, time.Now()), checkStore(ctx, data, serving),
		checkSnapshots(ctx, data, time.Now()), checkPeers(ctx, data), checkCertificate(data, time.Now()),
		checkAddress(ctx, *addr, o), checkApp()}
	code := exitOK
	for _, f := range list {
		mark := "well "
		if f.bad {
			mark, code = "WRONG", exitFailed
		}
		fmt.Fprintf(c.out, "%s  %-12s %s\n", mark, f.what, f.says)
	}
	return code
}

func well(what, format string, args ...any) finding {
	return finding{what, fmt.Sprintf(format, args...), false}
}

func wrong(what, format string, args ...any) finding {
	return finding{what, fmt.Sprintf(format, args...), true}
}

func checkFolder(data string) finding {
	const what = "data folder"
	if _, err := openData(data); err != nil {
		return wrong(what, "%v", err)
	}
	f, err := os.CreateTemp(data, "doctor-*")
	if err != nil {
		return wrong(what, "%s cannot be written: %v; give this user the right to write there, or choose another with --data", data, err)
	}
	_ = f.Close()
	_ = os.Remove(f.Name())
	return well(what, "%s can be written", data)
}

// leastSpace is the free space below which the doctor warns: a busy shop's photos of some months.
const leastSpace = 2 << 30

func checkSpace(data string) finding {
	free, err := freeSpace(data)
	switch {
	case err != nil:
		return wrong("free space", "cannot be told: %v", err)
	case free < leastSpace:
		return wrong("free space", "only %.1f GB is free in %s: make room, or move the records to a larger disk with --data", float64(free)/1e9, data)
	}
	return well("free space", "%.1f GB", float64(free)/1e9)
}

func checkClock(data string, now time.Time) finding {
	if err := checkTime(data, now); err != nil {
		return wrong("clock", "%v", err)
	}
	return well("clock", "%s", sayTime(now))
}

func checkStore(ctx context.Context, data string, serving bool) finding {
	path := filepath.Join(data, storeFile)
	if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
		return well("records", "none yet; the first start makes them")
	}
	if serving {
		return well("records", "open by the office that serves; 'datumbook verify' walks over them")
	}
	report, err := store.VerifyFile(ctx, path)
	switch {
	case err != nil:
		return wrong("records", "%v", err)
	case len(report.Problems) > 0:
		return wrong("records", "%s", report.Problems[0])
	}
	return well("records", "%s", counted(report))
}

func checkSnapshots(ctx context.Context, data string, now time.Time) finding {
	const what = "snapshots"
	dir := filepath.Join(data, snapshotDir)
	list, err := store.Snapshots(dir)
	if err != nil {
		return wrong(what, "%v", err)
	}
	if len(list) == 0 {
		return well(what, "none yet; one a day is made while serving")
	}
	newest := list[0]
	if ahead := newest.Time.Sub(now); ahead > time.Hour {
		return wrong(what, "the newest is stamped %s, which is still to come: the clock is wrong, or was when it was made",
			sayTime(newest.Time.Local()))
	}
	if days := int(now.Sub(newest.Time).Hours() / 24); days > 7 {
		return wrong(what, "the newest is %d days old: let the office serve, or make one with 'datumbook backup FILE'", days)
	}
	report, err := store.VerifyFile(ctx, newest.Path)
	if err == nil && len(report.Problems) > 0 {
		err = errors.New(report.Problems[0])
	}
	if err != nil {
		return wrong(what, "the newest, %s, is damaged: %v; make another with 'datumbook backup FILE'", newest.Path, err)
	}
	return well(what, "%d, the newest of %s, sound", len(list), sayTime(newest.Time.Local()))
}

func checkCertificate(data string, now time.Time) finding {
	text, err := os.ReadFile(filepath.Join(data, "authority.pem"))
	if errors.Is(err, os.ErrNotExist) {
		return well("certificate", "none yet; 'serve --lan' makes the shop's own")
	}
	if err != nil {
		return wrong("certificate", "%v", err)
	}
	for block, rest := pem.Decode(text); block != nil; block, rest = pem.Decode(rest) {
		if block.Type != "CERTIFICATE" {
			continue
		}
		cert, err := x509.ParseCertificate(block.Bytes)
		switch {
		case err != nil:
			return wrong("certificate", "cannot be read: %v", err)
		case now.After(cert.NotAfter) || now.Before(cert.NotBefore):
			return wrong("certificate", "holds from %s to %s and the clock says %s", cert.NotBefore.Format("2 Jan 2006"), cert.NotAfter.Format("2 Jan 2006"), now.Format("2 Jan 2006"))
		}
		return well("certificate", "the shop's own, until %s", cert.NotAfter.Format("2 Jan 2006"))
	}
	return wrong("certificate", "authority.pem holds no certificate: move it away and start 'serve --lan', then let every phone trust the new one")
}

func checkAddress(ctx context.Context, addr string, o *office) finding {
	if o != nil {
		var said struct{ Public string }
		if err := o.get(ctx, "/api/office", &said); err != nil {
			return wrong("address", "the office serves at %s, and does not tell where phones reach it: %v", o.url, err)
		}
		if said.Public != "" {
			return well("address", "the office serves at %s; phones reach it at %s, through a proxy", o.url, said.Public)
		}
		return well("address", "the office serves at %s", o.url)
	}
	l, err := net.Listen("tcp", addr)
	if err != nil {
		return wrong("address", "%s cannot be listened on: %v; choose another with --addr", addr, err)
	}
	_ = l.Close()
	addresses, err := lan.MachineAddresses()
	if err != nil {
		return wrong("address", "this machine's addresses cannot be told: %v", err)
	}
	return well("address", "%s is free; phones would find %v", addr, lan.PhoneAddresses(addresses))
}

func checkApp() finding {
	if _, err := pwa.Files(); err != nil {
		return wrong("app", "%v", err)
	}
	return well("app", "built into this program, version %s", versionText())
}
