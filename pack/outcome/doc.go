// Package outcome says what came of a search, or of the check of a layout, as values. Whether
// something fits, whether that is proven and how sure it is are decided here and nowhere else;
// text, JSON and page put these values into words.
//
// # Sure and tight
//
// What fits as measured is sure where it still fits with every measurement at its worst at once
// (pack.Problem.AtWorst), and else tight. Two questions go by that name, and their answers may
// differ:
//
//   - of a result: is there a layout whose boxes have somewhere to be, whatever the true
//     measurements are? They may be moved for it, their orientations kept, as a builder moves
//     boxes until they go in (result.go, sure.go). By how much every measurement may be off is
//     asked in the same way: gaps, ways in and tools (error.go);
//   - of a layout that was given: do its boxes still have their gaps exactly where they stand
//     (given.go)?
package outcome
