//go:build unix

package record_test

import (
	"syscall"
	"time"
)

// spent is the processor time of this process: other work on the machine does
// not count.
func spent() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
