package frame

import "rackwright/frame/strict"

// The frame file as it is written. The comments become the descriptions of the schema.

type frameFile struct {
	Format   int           `yaml:"format" json:"format" jsonschema:"enum=1,description=Version of the file format: 1."`
	Frame    strict.Name   `yaml:"frame" json:"frame" jsonschema:"description=Name of the frame.,example=Courier 125"`
	Units    string        `yaml:"units,omitempty" json:"units,omitempty" jsonschema:"enum=mm,enum=in,description=What bare lengths are: mm (the default) or in."`
	Accuracy strict.Length `yaml:"accuracy,omitempty" json:"accuracy,omitempty" jsonschema:"description=How far your measurements of the frame may be off: every measured face may be nearer by this much."`
	Opening  openingFile   `yaml:"opening" json:"opening" jsonschema:"description=The clear space in the frame."`
	Rails    []railFile    `yaml:"rails,omitempty" json:"rails,omitempty" jsonschema:"description=Frame tubes in or near the opening."`
	KeepOuts []keepOutFile `yaml:"keepouts,omitempty" json:"keepouts,omitempty" jsonschema:"description=Solids that boxes must stay clear of. Each has one of: outline with across / box / round."`
	Mounts   []mountFile   `yaml:"mounts,omitempty" json:"mounts,omitempty" jsonschema:"description=Existing bolt points of the frame."`
}

type openingFile struct {
	Outline  []strict.Point2 `yaml:"outline" json:"outline" jsonschema:"description=Corners [x\\, z] in order seen from the right; either way round. x is forward and z up."`
	Sides    []strict.Name   `yaml:"sides,omitempty" json:"sides,omitempty" jsonschema:"description=Names of the sides. Side 1 runs from corner 1 to corner 2."`
	Open     []strict.Name   `yaml:"open,omitempty" json:"open,omitempty" jsonschema:"description=Names of sides where nothing is in the way when boxes go in."`
	Across   *strict.Across  `yaml:"across,omitempty" json:"across,omitempty" jsonschema:"description=Width across: the whole centred on the middle or [right\\, left] such as [-130\\, 150]. y counts to the left."`
	Stations []stationFile   `yaml:"stations,omitempty" json:"stations,omitempty" jsonschema:"description=Width that changes with height. Straight between stations and constant beyond the first and last."`
	Metal    *bool           `yaml:"metal,omitempty" json:"metal,omitempty" jsonschema:"description=Whether the outline stands for metal that live posts must stay away from. Default true."`
}

type stationFile struct {
	Z      strict.Length `yaml:"z" json:"z" jsonschema:"description=Height of the station."`
	Across strict.Across `yaml:"across" json:"across" jsonschema:"description=Width there: the whole or [right\\, left]."`
}

type railFile struct {
	Name      strict.Name     `yaml:"name" json:"name" jsonschema:"description=Name of the rail.,example=down-tube"`
	Path      []strict.Point3 `yaml:"path" json:"path" jsonschema:"description=Points [x\\, y\\, z] on the middle of the tube."`
	Diameter  strict.Length   `yaml:"diameter" json:"diameter" jsonschema:"description=Outer diameter of the tube."`
	Mirror    bool            `yaml:"mirror,omitempty" json:"mirror,omitempty" jsonschema:"description=true: a second one stands at -y."`
	Removable bool            `yaml:"removable,omitempty" json:"removable,omitempty" jsonschema:"description=true: it unbolts and may be off while boxes go in."`
	Gap       *strict.Length  `yaml:"gap,omitempty" json:"gap,omitempty" jsonschema:"description=Required gap to this rail instead of gaps.rail of the pack file."`
}

type keepOutFile struct {
	Name     strict.Name     `yaml:"name" json:"name" jsonschema:"description=Name of the keep-out.,example=tank"`
	Outline  []strict.Point2 `yaml:"outline,omitempty" json:"outline,omitempty" jsonschema:"description=Corners [x\\, z] of its side view."`
	Across   *strict.Across  `yaml:"across,omitempty" json:"across,omitempty" jsonschema:"description=Width of the outline: the whole or [right\\, left]."`
	Box      *cornersFile    `yaml:"box,omitempty" json:"box,omitempty" jsonschema:"description=An upright box by its low and high corner."`
	Round    *roundFile      `yaml:"round,omitempty" json:"round,omitempty" jsonschema:"description=A round bar with flat ends such as a motor."`
	Metal    *bool           `yaml:"metal,omitempty" json:"metal,omitempty" jsonschema:"description=Whether it is metal. Default true."`
	LiftsOff bool            `yaml:"lifts_off,omitempty" json:"lifts_off,omitempty" jsonschema:"description=true: it may be off while boxes go in."`
	Trim     strict.Length   `yaml:"trim,omitempty" json:"trim,omitempty" jsonschema:"description=It may be notched this deep if nothing else helps."`
	Gap      *strict.Length  `yaml:"gap,omitempty" json:"gap,omitempty" jsonschema:"description=Required gap to it instead of gaps.keepout of the pack file."`
}

type cornersFile struct {
	Low  strict.Point3 `yaml:"low" json:"low" jsonschema:"description=The corner [x\\, y\\, z] with the least of each."`
	High strict.Point3 `yaml:"high" json:"high" jsonschema:"description=The corner with the most of each."`
}

type roundFile struct {
	From     strict.Point3 `yaml:"from" json:"from" jsonschema:"description=Middle [x\\, y\\, z] of one end."`
	To       strict.Point3 `yaml:"to" json:"to" jsonschema:"description=Middle of the other end."`
	Diameter strict.Length `yaml:"diameter" json:"diameter" jsonschema:"description=Its diameter."`
}

type mountFile struct {
	Name   strict.Name   `yaml:"name" json:"name" jsonschema:"description=Name of the bolt point."`
	At     strict.Point3 `yaml:"at" json:"at" jsonschema:"description=Where it is [x\\, y\\, z]."`
	Bolt   strict.Name   `yaml:"bolt,omitempty" json:"bolt,omitempty" jsonschema:"description=Its bolt.,example=M10"`
	Mirror bool          `yaml:"mirror,omitempty" json:"mirror,omitempty" jsonschema:"description=true: a second one is at -y."`
}
