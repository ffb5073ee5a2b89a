package card

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"rackwright/pack"
)

// Board is a kind of card by its letter.
type Board struct {
	Letter    string
	Thickness float64 // caliper with liners, in millimetres
}

// Boards are the usual corrugated boards. The thicknesses are the nominal calipers with
// liners that makers publish; DIN 55468-1 gives only the heights of the flutes (E 1.0
// to 1.9, B 2.2 to 3.1, C 3.1 to 4.0 mm). What a fold takes up is not published for
// outside sizes: that board folds about the middle of its thickness is an estimate.
var Boards = []Board{{"E", 2}, {"B", 3.2}, {"C", 4}, {"A", 5.6}, {"BC", 7.1}}

// DefaultBoard is the thickness of common card, C flute.
const DefaultBoard = 4.0

// MaxBoard is the thickest card in millimetres that nets are made for.
const MaxBoard = 20

// ErrBoard is wrapped by the errors for card that a box cannot be made of.
var ErrBoard = errors.New("no net")

// ParseBoard reads a thickness in millimetres, 0 for paper, or the letter of a board.
func ParseBoard(text string) (float64, error) {
	var letters []string
	for _, b := range Boards {
		if strings.EqualFold(text, b.Letter) {
			return b.Thickness, nil
		}
		letters = append(letters, b.Letter)
	}
	t, err := strconv.ParseFloat(strings.TrimSuffix(text, "mm"), 64)
	if err != nil || !(t >= 0 && t <= MaxBoard) {
		return 0, fmt.Errorf("%w: board %q is neither a thickness from 0 to %d mm nor one of %s", ErrBoard, text, MaxBoard, strings.Join(letters, ", "))
	}
	return t, nil
}

// Thickest is the thickest card, not above board, that a kind of box can be folded
// from: board itself, one of Boards, or paper.
func Thickest(k pack.Kind, board float64) float64 {
	best := 0.0
	side := min(k.Size.X, k.Size.Y, k.Size.Z)
	if 4*board < side {
		return board
	}
	for _, b := range Boards {
		if b.Thickness < board && 4*b.Thickness < side {
			best = max(best, b.Thickness)
		}
	}
	return best
}

// Called is what card of a thickness is called: "card 4 mm thick", "paper".
func Called(board float64) string {
	if board == 0 {
		return "paper"
	}
	return fmt.Sprintf("card %g mm thick", board)
}
