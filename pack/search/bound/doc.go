// Package bound gives upper bounds on the spare of any layout that need no search: each box alone
// between the flat sides; the volume of the boxes grown by half their gaps against that of the
// opening; sizes put through dual feasible functions (Fekete & Schepers, Mathematics of Operations
// Research 29 (2004); Clautiaux, Alves & Valério de Carvalho, Annals of Operations Research 179
// (2010)). Mix puts the last into the words of written proofs.
package bound
