// Package cache keeps build results that take long to make.
package cache

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
)

// Dir is a folder of results, named by a digest of everything they were made from. It may be
// deleted at any time.
type Dir string

// At is the folder for a tree of sources.
func At(root string) Dir { return Dir(filepath.Join(root, ".task", "build")) }

// Do gives the bytes kept under the digest of kind and key, or makes and keeps them.
func (d Dir) Do(kind string, key []byte, make func() ([]byte, error)) ([]byte, error) {
	sum := sha256.Sum256(append([]byte(kind+"\n"), key...))
	path := filepath.Join(string(d), kind, hex.EncodeToString(sum[:]))
	if body, err := os.ReadFile(path); err == nil && len(body) > 0 {
		return body, nil
	}
	body, err := make()
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return nil, err
	}
	// Written beside and renamed, so that a build cut short leaves no partial file under the
	// digest.
	temp, err := os.CreateTemp(filepath.Dir(path), "new-*")
	if err != nil {
		return nil, err
	}
	defer os.Remove(temp.Name())
	if _, err := temp.Write(body); err != nil {
		_ = temp.Close()
		return nil, err
	}
	if err := temp.Close(); err != nil {
		return nil, err
	}
	return body, os.Rename(temp.Name(), path)
}
