package answer

import (
	"fmt"
	"math"
	"strings"

	"rackwright/pack/entry"
)

// HiddenWords says of a post that no layout lets a tool reach what is in the way, and which
// tool reaches it. Diameters are in mm, as the option --tool has them.
func HiddenWords(h entry.Hidden, tool entry.Tool) string {
	stands := "stands"
	if len(h.By) > 1 {
		stands = "stand"
	}
	text := fmt.Sprintf("%s %s: a tool of %g mm across reaches it in no layout, for %s beside it %s higher",
		h.Kind, h.Post.Name, tool.Diameter, strings.Join(h.By, " and "), stands)
	widest := math.Floor(h.Widest*10+1e-6) / 10 // what is told has to reach it
	if widest <= 0 {
		return text + ". No tool does: correct where the posts are, or use --entry any, which asks for no tool"
	}
	return text + fmt.Sprintf(". The widest that does is %g mm: --tool %gx%g, or correct where the posts are", widest, widest, tool.Length)
}
