// Package strict reads YAML files as their writers must have meant them, or says what
// is wrong with them, where, and what to do: no unknown or repeated key, no null, no
// number cut to fit, no second document, no anchors. JSON is YAML, so it reads too.
//
// A file is decoded into a struct with yaml tags. All the errors of a file are reported
// at once where that is possible.
//
// # Limits
//
// All the limits of the program's files, each with where it is enforced. What is beyond
// one is an error at its place in the file.
//
//	every file
//	  bytes                           262144   strict.MaxSize
//	  levels of nesting                   32   strict.MaxDepth
//	  keys together                       64   strict.MaxKeys
//	  entries of a list                 4096   strict.MaxItems
//	  errors told                         50   strict.MaxErrors
//	  characters of a name                60   strict.MaxName
//	  coordinates and lengths, ± mm    16000   strict.MaxLength
//	  moves of a layout file, ± mm   1000000   strict.MaxMove
//	  mass, kg                          5000   strict.MaxMass
//	frame file
//	  corners of an outline               64   frame.MaxCorners
//	  stations                            32   frame.MaxStations
//	  rails                               64   frame.MaxRails
//	  points of a rail                    32   frame.MaxPath
//	  keep-outs                           64   frame.MaxKeepOuts
//	  solids of one with a section        64   frame.MaxSolids
//	  parts that move                     12   frame.MaxMoving
//	  solids of one of them                8   frame.MaxParts
//	  convex pieces of all that move     128   frame.MaxPieces
//	  turn, ± degrees                     90   frame.MaxTurn
//	  mounts                              64   frame.MaxMounts
//	  wheels                               3   frame.MaxWheels
//	  points that hang on the rack         8   frame.MaxHangs
//	  riders                              16   frame.MaxRiders
//	  lean, degrees                       70   frame.MaxLean
//	  marks                               64   frame.MaxMarks
//	  taped distances                   1024   frame.MaxTaped
//	  heights; slopes                    256   frame.MaxLevels
//	  gap, accuracy, trim, mm           1000   frame.MaxGap
//	  diameter, mm                      4000   frame.MaxDiameter
//	  least size and step, mm           0.01   frame.MinLength
//	pack file
//	  boxes in all, and a count           64   pack.MaxBoxes
//	  kinds of boxes                      64   pack.MaxKinds
//	  posts of a kind                     12   pack.MaxPosts
//	  tilts of a kind                     10   pack.MaxTilts
//	  size of a box, mm                 4000   pack.MaxSize
//	  gap, accuracy, swell, post, mm    1000   pack.MaxGap
//	  tilt, ± degrees                     60   pack.MaxTilt
//	  volts, and ampere hours           2000   pack.MaxVolts
//	  peak current, A                   5000   pack.MaxPeak
//	  short-circuit current, A        100000   pack.MaxShortCircuit
//	  cables to choose from               16   pack.MaxCables
//	  cables that lie together            24   pack.MaxBundle
//	catalogue file
//	  batteries                          500   pack.MaxBatteries
//	both together
//	  pairs of bodies                4000000   pack.MaxRelations
//	layout file
//	  boxes, steps, number of a box       64   pack.MaxBoxes
//	  legs of a step                      16   layoutfile.MaxLegs
//	  things off during a step           192   layoutfile.MaxOff
//	  centre, ± mm                     16000   pack.MaxCentre
package strict
