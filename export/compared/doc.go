// Package compared tells what came of a comparison of batteries.
//
//	part.go      the file of rows that are done, one a line: what a run goes on from, and what is merged
//	table.go     the printed answer
//	json.go      one JSON object
//	csv.go       a table for spreadsheets
//	page.go      one HTML page
//	picture.go   energy against mass and against what is to spare; labels.go puts names beside its points
//	files.go     pack files, layouts and written proofs of the rows
package compared
