//go:build !windows

package store

import "syscall"

const windows = false

// winDiskFull stands in for Windows' disk-full error, which no other system returns.
const winDiskFull = syscall.ENOSPC
