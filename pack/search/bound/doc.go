// Package bound gives upper bounds on the spare of any layout that need no search: each box alone
// between the flat sides; the volume of the boxes grown by half their gaps against that of the
// opening; sizes put through dual feasible functions (Fekete & Schepers, Mathematics of Operations
// Research 29 (2004); Clautiaux, Alves & Valério de Carvalho, Annals of Operations Research 179
// (2010)). Mix puts the last into the words of written proofs.
//
// A bound here is a statement about lengths that any layout would have to satisfy; none looks at
// places. So they prove in milliseconds what they can prove at all, and the proof begins from the
// least of them. To change how such a bound is made: volume.go, scales.go with shares.go, and
// mix.go for its written form; cheap.go asks them all.
package bound
