package store

import "syscall"

const windows = true

// winDiskFull is Windows' own number of a full disk.
const winDiskFull = syscall.Errno(112)
