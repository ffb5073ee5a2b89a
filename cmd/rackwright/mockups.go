package main

import "rackwright/export/answer"

// mockups are the files to build mock-ups from.
func mockups(in answer.Input) []output { return nil }
