//go:build !windows

package main

import "golang.org/x/sys/unix"

// freeSpace gives the bytes a user may still write below a folder.
func freeSpace(dir string) (uint64, error) {
	var s unix.Statfs_t
	err := unix.Statfs(dir, &s)
	return s.Bavail * uint64(s.Bsize), err
}
