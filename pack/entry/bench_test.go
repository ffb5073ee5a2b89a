package entry

import (
	"context"
	"fmt"
	"testing"

	"rackwright/pack"
)

// forty is five layers of eight boxes with two posts each in an opening with four
// rails, an engine, and closed sides; only the top and the right are free.
func forty() *stage {
	s := square(800).open(3).air(2).across(-200, 200).
		keepOut("engine", v(-100, 210, -100), v(900, 300, 900)).
		rail("front", 38, v(830, 0, -20), v(840, 0, 900)).rail("back", 38, v(-30, 0, -20), v(-40, 0, 900)).
		rail("cross", 32, v(100, -300, 840), v(100, 300, 840)).rail("bent", 30, v(-50, -220, 0), v(300, -240, 300), v(300, -240, 900))
	for n := range 40 {
		column, layer := float64(n%8), float64(n/8)
		low := v(column*98+5, -190+float64(n%2)*190, layer*140)
		s.box(fmt.Sprint("box ", n), low, low.Add(v(90, 180, 110)), post("plus", pack.Top, 20, 20), post("minus", pack.Top, 70, 20))
	}
	return s
}

func TestFortyBoxes(t *testing.T) {
	a := forty().plan(t)
	if !a.GoesIn {
		t.Fatal(a.Stuck)
	}
}

func BenchmarkPlanFortyBoxes(b *testing.B) {
	s := forty()
	for b.Loop() {
		a, err := Plan(context.Background(), s.problem, s.layout, Settings{})
		if err != nil || !a.GoesIn {
			b.Fatal(a.Stuck, err)
		}
	}
}

func BenchmarkGoesInFortyBoxes(b *testing.B) {
	s := forty()
	for b.Loop() {
		if ok, stuck, err := GoesIn(context.Background(), s.problem, s.layout); err != nil || !ok {
			b.Fatal(stuck, err)
		}
	}
}

func BenchmarkFortyBoxesStuck(b *testing.B) {
	s := forty()
	s.problem.Frame.Opening.Open[2] = false
	s.keepOut("cage", v(-100, -300, -100), v(900, -210, 900))
	for b.Loop() {
		if ok, _, err := GoesIn(context.Background(), s.problem, s.layout); err != nil || ok {
			b.Fatal(err)
		}
	}
}

// The question that a search asks often: a handful of boxes, none of which comes out.
func BenchmarkFiveBoxesStuck(b *testing.B) {
	s := ring("")
	for b.Loop() {
		if ok, _, err := GoesIn(context.Background(), s.problem, s.layout); err != nil || ok {
			b.Fatal(err)
		}
	}
}

func BenchmarkVerifyFortyBoxes(b *testing.B) {
	s := forty()
	a, err := Plan(context.Background(), s.problem, s.layout, Settings{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if faults, err := Verify(s.problem, s.layout, a.Order); err != nil || len(faults) > 0 {
			b.Fatal(faults, err)
		}
	}
}

// What it takes to reach each of forty boxes, which come out upward only.
func BenchmarkUndoFortyBoxes(b *testing.B) {
	s := forty().keepOut("cage", v(-100, -300, -100), v(900, -210, 900))
	for b.Loop() {
		if all, err := Undos(context.Background(), s.problem, s.layout); err != nil || len(all[0]) < 2 {
			b.Fatal(all, err)
		}
	}
}
