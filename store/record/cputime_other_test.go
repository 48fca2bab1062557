//go:build !unix

package record_test

import "time"

var begun = time.Now()

// spent is the time on the clock, where there is no telling what this process
// used of it.
func spent() time.Duration { return time.Since(begun) }
