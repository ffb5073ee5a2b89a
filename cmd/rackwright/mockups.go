package main

import (
	"rackwright/export"
	"rackwright/export/answer"
)

// mockups are the files to build mock-ups from.
func mockups(in answer.Input) []export.File { return nil }
