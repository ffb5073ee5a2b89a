package pack

import "rackwright/frame/strict"

// The pack file as it is written. The descriptions go into the schema.

type packFile struct {
	Format    int         `yaml:"format" json:"format" jsonschema:"enum=1,description=Version of the file format: 1."`
	Pack      strict.Name `yaml:"pack" json:"pack" jsonschema:"description=Name of the pack.,example=four 38 Ah blocks"`
	Units     string      `yaml:"units,omitempty" json:"units,omitempty" jsonschema:"enum=mm,enum=in,description=What bare lengths are: mm (the default) or in."`
	Gaps      gapsFile    `yaml:"gaps,omitempty" json:"gaps,omitempty" jsonschema:"description=Required gaps. What is not given has a default."`
	GapsFloor *gapsFile   `yaml:"gaps_floor,omitempty" json:"gaps_floor,omitempty" jsonschema:"description=The least gaps you would go down to if nothing else helps."`
	Boxes     []kindFile  `yaml:"boxes" json:"boxes" jsonschema:"description=The kinds of boxes: batteries and charger and controller."`
}

type gapsFile struct {
	Beside  *strict.Length `yaml:"beside,omitempty" json:"beside,omitempty" jsonschema:"description=Between two boxes side by side. Default 3 mm."`
	Above   *strict.Length `yaml:"above,omitempty" json:"above,omitempty" jsonschema:"description=Between two boxes one above the other: foam and tray. Default 6 mm."`
	Wall    *strict.Length `yaml:"wall,omitempty" json:"wall,omitempty" jsonschema:"description=Between a box and the sides of the opening. Default 0."`
	Rail    *strict.Length `yaml:"rail,omitempty" json:"rail,omitempty" jsonschema:"description=Between a box and a tube. Default 5 mm."`
	KeepOut *strict.Length `yaml:"keepout,omitempty" json:"keepout,omitempty" jsonschema:"description=Between a box and a keep-out. Default 5 mm."`
	Post    *strict.Length `yaml:"post,omitempty" json:"post,omitempty" jsonschema:"description=Between a live post and any metal. Default 25 mm: a strapped battery may shift by an inch."`
	Boot    *strict.Length `yaml:"boot,omitempty" json:"boot,omitempty" jsonschema:"description=Between a post with its boot and another box's case. Default 3 mm."`
	Entry   *strict.Length `yaml:"entry,omitempty" json:"entry,omitempty" jsonschema:"description=Air around a box while it goes in. Default 2 mm."`
}

type kindFile struct {
	Name        strict.Name    `yaml:"name" json:"name" jsonschema:"description=Name of the kind of box.,example=battery"`
	Count       *int           `yaml:"count,omitempty" json:"count,omitempty" jsonschema:"minimum=1,maximum=64,description=How many there are. Default 1."`
	Size        strict.Point3  `yaml:"size" json:"size" jsonschema:"description=Length\\, width\\, height outside: lips included and posts not."`
	Accuracy    strict.Length  `yaml:"accuracy,omitempty" json:"accuracy,omitempty" jsonschema:"description=Each size may be larger by this much."`
	Swell       strict.Length  `yaml:"swell,omitempty" json:"swell,omitempty" jsonschema:"description=And by this much again when cells swell."`
	Mass        strict.Mass    `yaml:"mass,omitempty" json:"mass,omitempty" jsonschema:"description=Mass of one: kg or text such as 29 lb."`
	Stand       strict.Words   `yaml:"stand,omitempty" json:"stand,omitempty" jsonschema:"description=Allowed stands: upright / on-side / on-end / inverted. Default upright alone."`
	Tilt        strict.Numbers `yaml:"tilt,omitempty" json:"tilt,omitempty" jsonschema:"description=Allowed pitch angles in degrees with the nose down positive. Default 0 alone."`
	Posts       []postFile     `yaml:"posts,omitempty" json:"posts,omitempty" jsonschema:"description=Live terminals."`
	Volts       float64        `yaml:"volts,omitempty" json:"volts,omitempty" jsonschema:"description=Nominal voltage of one."`
	AmpHours    float64        `yaml:"amp_hours,omitempty" json:"amp_hours,omitempty" jsonschema:"description=Capacity of one."`
	ChargeVolts float64        `yaml:"charge_volts,omitempty" json:"charge_volts,omitempty" jsonschema:"description=Voltage of one at the end of charging."`
}

type postFile struct {
	Name     strict.Name   `yaml:"name" json:"name" jsonschema:"description=Name of the post.,example=plus"`
	Face     string        `yaml:"face" json:"face" jsonschema:"enum=front,enum=back,enum=left,enum=right,enum=top,enum=bottom,description=The face of the upright box that it stands on."`
	At       strict.Point2 `yaml:"at" json:"at" jsonschema:"description=The two box coordinates in the face in the order L\\, W\\, H from the box's low corner."`
	Diameter strict.Length `yaml:"diameter" json:"diameter" jsonschema:"description=Diameter of the post."`
	Height   strict.Length `yaml:"height,omitempty" json:"height,omitempty" jsonschema:"description=How far it stands out of the face: 0 for a flush insert."`
	Polarity string        `yaml:"polarity,omitempty" json:"polarity,omitempty" jsonschema:"enum=+,enum=-,description=+ or -."`
}
