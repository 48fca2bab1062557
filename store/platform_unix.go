//go:build !windows

package store

import (
	"os"
	"syscall"
)

const windows = false

// winDiskFull stands in for Windows' disk-full error, which no other system returns.
const winDiskFull = syscall.ENOSPC

// unlock lets go of a file's lock, which closing it does not do while it is mapped.
func unlock(f *os.File) { _ = syscall.Flock(int(f.Fd()), syscall.LOCK_UN) }
