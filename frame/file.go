package frame

import "rackwright/frame/strict"

// The frame file as it is written. The tags say its keys, and go into its schema with
// the limits and the descriptions.

type frameFile struct {
	Format   int                      `yaml:"format" jsonschema:"enum=1" jsonschema_description:"Version of the file format: 1."`
	Frame    strict.Name              `yaml:"frame" jsonschema:"example=Courier 125" jsonschema_description:"Name of the frame."`
	Units    string                   `yaml:"units,omitempty" jsonschema:"enum=mm,enum=in" jsonschema_description:"What bare lengths are: mm (the default) or in."`
	Accuracy strict.Length            `yaml:"accuracy,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"How far your measurements of the frame may be off: every measured face may be nearer by this much."`
	Marks    []strict.Named[markFile] `yaml:"marks,omitempty" jsonschema:"minItems=1,maxItems=64" jsonschema_description:"Dots on the frame that are taped between: names, which may stand for points everywhere in this file, or keys with values."`
	Level    *levelFile               `yaml:"level,omitempty" jsonschema_description:"Where zero is among the marks, and which line's slope is known."`
	Taped    []tapedFile              `yaml:"taped,omitempty" jsonschema:"maxItems=1024" jsonschema_description:"Distances taped straight from mark to mark."`
	Heights  []heightFile             `yaml:"heights,omitempty" jsonschema:"maxItems=256" jsonschema_description:"Heights of marks above the ground, or above any one level line."`
	Slopes   []slopeFile              `yaml:"slopes,omitempty" jsonschema:"maxItems=256" jsonschema_description:"Slopes of lines from mark to mark, by a phone's level."`
	Opening  openingFile              `yaml:"opening" jsonschema_description:"The clear space in the frame."`
	Rails    []railFile               `yaml:"rails,omitempty" jsonschema:"maxItems=64" jsonschema_description:"Frame tubes in or near the opening."`
	KeepOuts []keepOutFile            `yaml:"keepouts,omitempty" jsonschema:"maxItems=64" jsonschema_description:"Solids that boxes must stay clear of. Each has one of: outline and across, box, round, section and along, section and outline."`
	Moving   []movingFile             `yaml:"moving,omitempty" jsonschema:"maxItems=12" jsonschema_description:"Parts that move. Boxes stay clear of them wherever they are."`
	Mounts   []mountFile              `yaml:"mounts,omitempty" jsonschema:"maxItems=64" jsonschema_description:"Existing bolt points of the frame."`
	Vehicle  *vehicleFile             `yaml:"vehicle,omitempty" jsonschema_description:"Wheels and what they bear, for the balance."`
	Ground   *groundFile              `yaml:"ground,omitempty" jsonschema_description:"The road under the vehicle."`

	FrameNumber *strict.Place3 `yaml:"frame_number,omitempty" jsonschema_description:"Where the frame number is stamped [x, y, z], or a mark: neither box, rack nor cable is to cover it."`
	SeenFrom    string         `yaml:"seen_from,omitempty" jsonschema:"enum=left,enum=right,enum=front" jsonschema_description:"From which side the frame number is read."`
}

type openingFile struct {
	Outline  []strict.Place2          `yaml:"outline" jsonschema:"minItems=3,maxItems=64" jsonschema_description:"Corners [x, z], or marks, in order, seen from the right, either way round. x is forward, z up. It need not be convex."`
	Sides    []strict.Named[sideFile] `yaml:"sides,omitempty" jsonschema_description:"Names of the sides, or keys with values. Side 1 runs from corner 1 to corner 2."`
	Open     []strict.Name            `yaml:"open,omitempty" jsonschema_description:"Names of sides where nothing is in the way when boxes go in."`
	Across   *strict.Across           `yaml:"across,omitempty" jsonschema:"exclusiveMinimum=0,oneof_required=across" jsonschema_description:"Width across: the whole, centred on the middle, or [right, left] such as [-130, 150]. y counts to the left."`
	Stations []stationFile            `yaml:"stations,omitempty" jsonschema:"minItems=1,maxItems=32,oneof_required=stations" jsonschema_description:"Width that changes with height, instead of across: straight between stations, constant beyond the first and the last."`
	Metal    *bool                    `yaml:"metal,omitempty" jsonschema_description:"Whether the outline stands for metal, which live posts must stay away from. Default true."`
}

type sideFile struct {
	Name     strict.Name    `yaml:"name" jsonschema:"example=belly" jsonschema_description:"Name of the side."`
	Accuracy *strict.Length `yaml:"accuracy,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"How much nearer it may be, instead of the file's accuracy."`
}

type stationFile struct {
	Z      strict.Length `yaml:"z" jsonschema_description:"Height of the station."`
	Across strict.Across `yaml:"across" jsonschema:"exclusiveMinimum=0" jsonschema_description:"Width across at that height: the whole, or [right, left]."`
}

type railFile struct {
	Name      strict.Name     `yaml:"name" jsonschema:"example=down-tube" jsonschema_description:"Name of the rail."`
	Path      []strict.Place3 `yaml:"path" jsonschema:"minItems=2,maxItems=32" jsonschema_description:"Points [x, y, z], or marks, on the middle of the tube."`
	Diameter  strict.Length   `yaml:"diameter" jsonschema:"exclusiveMinimum=0,maximum=4000" jsonschema_description:"Outer diameter of the tube."`
	Mirror    bool            `yaml:"mirror,omitempty" jsonschema_description:"true: a second one stands at -y."`
	Removable bool            `yaml:"removable,omitempty" jsonschema_description:"true: it unbolts, and is off while boxes go in."`
	Gap       *strict.Length  `yaml:"gap,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Required gap to this rail instead of gaps.rail of the pack file."`
	Accuracy  *strict.Length  `yaml:"accuracy,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"How much nearer it may be, instead of the file's accuracy."`
	Clamps    bool            `yaml:"clamps,omitempty" jsonschema_description:"true: two-piece clamps of the rack may hold on to it."`
}

type keepOutFile struct {
	Name strict.Name `yaml:"name" jsonschema:"example=tank" jsonschema_description:"Name of the keep-out."`
	shapeFile
	Section  []strict.Point2 `yaml:"section,omitempty" jsonschema:"minItems=3,maxItems=64,oneof_required=section,oneof_required=outline and section" jsonschema_description:"Corners [y, z] of its outline seen from the front, y to the left: a cross-section, swept along, or what it has in common with outline."`
	Along    *strict.Point2  `yaml:"along,omitempty" jsonschema:"example=[80, 420],oneof_required=section" jsonschema_description:"From where to where the section is swept: [rear, front]."`
	Mirror   bool            `yaml:"mirror,omitempty" jsonschema_description:"true: a second one, its mirror image, stands on the other side of the middle."`
	Metal    *bool           `yaml:"metal,omitempty" jsonschema_description:"Whether it is metal. Default true."`
	LiftsOff bool            `yaml:"lifts_off,omitempty" jsonschema_description:"true: it lifts off, and is off while boxes go in."`
	Trim     strict.Length   `yaml:"trim,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"It may be notched this deep if nothing else helps."`
	Gap      *strict.Length  `yaml:"gap,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Required gap to it instead of gaps.keepout of the pack file."`
	Accuracy *strict.Length  `yaml:"accuracy,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"How much nearer each face of it may be, instead of the file's accuracy."`
	Mass     strict.Mass     `yaml:"mass,omitempty" jsonschema:"minimum=0,maximum=5000" jsonschema_description:"Its mass, where it hangs on the rack: kg, or text such as 29 lb."`
	Hangs    []hangFile      `yaml:"hangs_on_rack,omitempty" jsonschema:"maxItems=8" jsonschema_description:"Points at which it hangs on the rack."`
}
