//go:build unix

package main

import (
	"syscall"
	"time"
)

// processorTime is how long processors have worked for the program.
func processorTime() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return time.Since(started)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

var started = time.Now()
