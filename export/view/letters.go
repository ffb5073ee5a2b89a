package view

// Sizes of words in pixels of 1/96 inch: capitals are 0.73 of the size in the faces that browsers
// take for sans-serif, so 3 mm high (16 pixels are 4.23 mm), to be read in a shed.
const (
	textHeight = 16.0
	lineHeight = 19.0
	baseline   = 15.0 // of a line of words below its upper end
)

// wide are letters that are wider than others, or narrower, in parts of the size: those of DejaVu
// Sans, which is among the widest of the usual faces.
var wide = func() map[rune]float64 {
	all := map[rune]float64{}
	for widths, letters := range map[float64]string{
		0.28: "ijl|'", 0.32: " ,.·:;", 0.40: "ftrI()-/", 0.53: "szJ", 0.98: "mMW…", 0.84: "w×+−=<>", 0.70: "ABCDEGHKNOPQRSUVXY",
	} {
		for _, r := range letters {
			all[r] = widths
		}
	}
	return all
}()

func textWidth(text string) float64 {
	sum := 0.0
	for _, r := range text {
		if w, ok := wide[r]; ok {
			sum += w
		} else {
			sum += 0.636
		}
	}
	return sum * textHeight
}

// boldWidth is that of bold letters, which are wider.
func boldWidth(text string) float64 { return 1.12 * textWidth(text) }
