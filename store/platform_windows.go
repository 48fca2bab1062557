package store

import "syscall"

const windows = true

// winDiskFull is Windows' disk-full error.
const winDiskFull = syscall.Errno(112)
