package store

import (
	"os"
	"syscall"
)

const windows = true

// winDiskFull is Windows' disk-full error.
const winDiskFull = syscall.Errno(112)

// unlock does nothing: closing a file lets go of its lock, mapped or not.
func unlock(*os.File) {}
