package pack

import "rackwright/frame"

// Problem is a frame and a pack that has to go into it. Search and judge read it and
// never change it.
type Problem struct {
	Frame *frame.Frame
	Pack  *Pack
	// Worst takes everything at its worst at once: every measured face of the frame
	// nearer by the frame's accuracy, every size of a box larger by its accuracy and
	// its swell.
	Worst bool
}
