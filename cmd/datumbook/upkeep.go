package main

import (
	"encoding/json"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"time"

	"datumbook/server"
	"datumbook/store"
)

// servingFile tells other commands on this machine the address of the server that has the store
// open.
const servingFile = "serving.json"

// serving is what the file holds.
type serving struct {
	URL  string `json:"url"`
	Name string `json:"name,omitempty"` // what its certificate names it, where that is not the host in the address
	PID  int    `json:"pid"`
}

// writeServing notes the address by which this machine itself reaches the
// server: the name that phones use may not be known here.
func writeServing(data string, s *server.Server, name string) error {
	at := serving{URL: s.NearURL(), PID: os.Getpid()}
	if s.TLS != nil && at.URL != s.URL() {
		at.Name = name
	}
	text, err := json.Marshal(at)
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(data, servingFile), append(text, '\n'), 0o600)
}

func dropServing(data string) { _ = os.Remove(filepath.Join(data, servingFile)) }

// readServing gives the server that has the store open; ok is false where none
// left its address.
func readServing(data string) (serving, bool) {
	var s serving
	text, err := os.ReadFile(filepath.Join(data, servingFile))
	return s, err == nil && json.Unmarshal(text, &s) == nil && s.URL != ""
}

// dropLeftovers removes the copies that a backup or verification killed midway left in the data
// folder. Only the one program that has the store open may call it.
func dropLeftovers(data string, log *slog.Logger) {
	for _, pattern := range []string{"backup-*", "verify-*"} {
		left, _ := filepath.Glob(filepath.Join(data, pattern))
		for _, path := range left {
			info, err := os.Stat(path)
			if err != nil || !info.IsDir() || time.Since(info.ModTime()) < time.Hour {
				continue // a file of the user's, or a verification that runs just now
			}
			if err := os.RemoveAll(path); err != nil {
				log.Warn("a leftover copy could not be removed", "path", path, "err", err)
			}
		}
	}
}

// streamBackup copies the store for a caller: first to a file of its own, so
// that a slow network never holds the store's pages.
func streamBackup(st *store.Store, data string, to io.Writer) error {
	dir, err := os.MkdirTemp(data, "backup-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, storeFile)
	if err := st.Backup(path); err != nil {
		return err
	}
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	_, err = io.Copy(to, f)
	return err
}
