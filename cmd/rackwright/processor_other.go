//go:build !unix

package main

import "time"

// processorTime is how long the program runs: how long processors have worked for it is not known
// here.
func processorTime() time.Duration { return time.Since(started) }

var started = time.Now()
