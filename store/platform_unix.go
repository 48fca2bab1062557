//go:build !windows

package store

import "syscall"

const windows = false

// winDiskFull stands for Windows' own number of a full disk, which no other system gives.
const winDiskFull = syscall.ENOSPC
