// Package label finds room for words in a picture: on what they name, near it with a leader, or in a
// column beside the picture.
//
// The picture is a Map of square cells, each of which knows what is seen there, how much line is
// drawn through it, and whether something is written there already. Whether words fit at a place is
// then a sum over cells, which summed areas give at once (F. C. Crow, Summed-area tables for texture
// mapping, SIGGRAPH 1984). What finds no room stands in the column, in an order in which leaders do
// not cross: wherever two straight leaders cross, exchanging their labels makes both together shorter,
// so exchanging ends (boundary labelling; M. A. Bekos, M. Kaufmann, A. Symvonis, A. Wolff 2007).
package label
