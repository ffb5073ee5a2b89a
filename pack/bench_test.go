package pack

import (
	"fmt"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/frame"
)

// crowd is 40 boxes with two posts each, tilted, among 20 things of the frame.
func crowd() (Problem, Layout) {
	f := openingOf(outlines[5], -400, 400)
	for i := range 7 {
		x := 80 * float64(i)
		f.Rails = append(f.Rails, frame.Rail{Name: fmt.Sprint("rail ", i), Path: []r3.Vector{{X: x, Y: -400}, {X: x, Y: 400, Z: 300}}, Diameter: 30})
		f.KeepOuts = append(f.KeepOuts, frame.KeepOut{Name: fmt.Sprint("crate ", i), Box: &frame.Corners{Low: r3.Vector{X: x, Y: -50, Z: 400}, High: r3.Vector{X: x + 50, Y: 50, Z: 450}}})
	}
	k := kindOf("cell", 40, 97, 65, 110)
	k.Tilts = []s1.Angle{12 * s1.Degree}
	k.Posts = []Post{
		{Name: "plus", Face: Top, At: r2.Point{X: 20, Y: 30}, Diameter: 12, Height: 10},
		{Name: "minus", Face: Top, At: r2.Point{X: 77, Y: 30}, Diameter: 12, Height: 10},
	}
	p := problemOf(f, k)
	p.Pack.Gaps = DefaultGaps()
	var layout Layout
	for i := range 40 {
		at := upright("cell", i+1, 100*float64(i%5), -300+70*float64(i/5%4), 100+130*float64(i/20))
		at.Tilt = k.Tilts[0]
		layout.Placements = append(layout.Placements, at)
	}
	return p, layout
}

func BenchmarkCheckCrowd(b *testing.B) {
	p, layout := crowd()
	for b.Loop() {
		Check(p, layout)
	}
}

func BenchmarkCheckHoffman(b *testing.B) {
	p := problemOf(crate(150, 150, 150), kindOf("block", 27, 40, 50, 60))
	var layout Layout
	for i, at := range hoffman() {
		layout.Placements = append(layout.Placements, upright("block", i+1, 10*float64(at.at[0]), 10*float64(at.at[1]), 10*float64(at.at[2])))
	}
	for b.Loop() {
		Check(p, layout)
	}
}
