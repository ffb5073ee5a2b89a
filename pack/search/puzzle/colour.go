package puzzle

// Cells are coloured black and white in blocks of m×m×m like a chessboard. Where the
// boxes, wherever they lie, cover about as many cells of one colour as of the other, and
// the container has many more of one, too much would have to stay empty (de Bruijn,
// Filling boxes with bricks, American Mathematical Monthly 76 (1969) 37–40, has the
// colouring with m = 2 for bricks of 1×2×4 in a cube of side 6).

// unbalanced tells whether some colouring shows that the boxes do not go in.
//
// Cells that stay empty may all be of one colour, so the waste counts as covered.
func (p Problem) unbalanced() bool {
	for m := 1; m <= MostBlock; m++ {
		covered := p.waste()
		for _, k := range p.Kinds {
			covered += k.Count * k.mostExcess(m)
		}
		if whole := p.Size; abs(excess([3]int{}, whole, m)) > covered {
			return true
		}
	}
	return false
}

// mostExcess is the greatest difference between the colours that a box of the kind covers. Colours
// repeat after 2m cells along each axis, so no other places need trying.
func (k Kind) mostExcess(m int) int {
	most := 0
	for _, s := range k.Shapes {
		for x := range 2 * m {
			for y := range 2 * m {
				for z := range 2 * m {
					most = max(most, abs(excess([3]int{x, y, z}, s, m)))
				}
			}
		}
	}
	return most
}

// excess is how many more black than white cells a box covers: the product of what it
// covers along each axis, where the colours alternate.
func excess(low, size [3]int, m int) int {
	product := 1
	for axis := range 3 {
		sum := 0
		for i := range size[axis] {
			if (low[axis]+i)/m%2 == 0 {
				sum++
			} else {
				sum--
			}
		}
		product *= sum
	}
	return product
}

// abs is the size of a difference.
func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}
