package pack

import "rackwright/frame/strict"

// The pack file as it is written. The tags say its keys, and go into its schema with
// the limits and the descriptions.

type packFile struct {
	Format    int         `yaml:"format" jsonschema:"enum=1" jsonschema_description:"Version of the file format: 1."`
	Pack      strict.Name `yaml:"pack" jsonschema:"example=four 38 Ah blocks" jsonschema_description:"Name of the pack."`
	Units     string      `yaml:"units,omitempty" jsonschema:"enum=mm,enum=in" jsonschema_description:"What bare lengths are: mm (the default) or in."`
	Gaps      gapsFile    `yaml:"gaps,omitempty" jsonschema_description:"Required gaps. What is not given has a default."`
	GapsFloor *gapsFile   `yaml:"gaps_floor,omitempty" jsonschema_description:"The least gaps you would go down to if nothing else helps."`
	Wiring    *wiringFile `yaml:"wiring,omitempty" jsonschema_description:"How the batteries are joined, and what flows."`
	Boxes     []kindFile  `yaml:"boxes" jsonschema:"minItems=1,maxItems=64" jsonschema_description:"The kinds of boxes: batteries, charger, controller."`
}

type gapsFile struct {
	Beside  *strict.Length `yaml:"beside,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Between two boxes side by side. Default 3 mm."`
	Above   *strict.Length `yaml:"above,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Between two boxes one above the other: foam and tray. Default 6 mm."`
	Wall    *strict.Length `yaml:"wall,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Between a box and the sides of the opening. Default 0."`
	Rail    *strict.Length `yaml:"rail,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Between a box and a tube. Default 5 mm."`
	KeepOut *strict.Length `yaml:"keepout,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Between a box and a keep-out. Default 5 mm."`
	Post    *strict.Length `yaml:"post,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Between a live post and any metal. Default 25 mm: a strapped battery may shift by an inch."`
	Boot    *strict.Length `yaml:"boot,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Between a post with its boot and another box's case. Default 3 mm."`
	Entry   *strict.Length `yaml:"entry,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Air around a box while it goes in. Default 2 mm."`
	Tray    *strict.Length `yaml:"tray,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Under a box that stands on a tray: metal and foam. Default 6 mm. Layouts that need no tray do not keep it."`
	Bar     *strict.Length `yaml:"bar,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Between a live post and the rack's metal that holds its box. Default 10 mm: five times what the foam gives."`
}

type kindFile struct {
	Name        strict.Name    `yaml:"name" jsonschema:"example=battery" jsonschema_description:"Name of the kind of box."`
	Count       *int           `yaml:"count,omitempty" jsonschema:"minimum=1,maximum=64" jsonschema_description:"How many there are. Default 1."`
	Size        strict.Point3  `yaml:"size" jsonschema:"exclusiveMinimum=0,maximum=4000" jsonschema_description:"Length, width, height outside: lips included, posts not."`
	Accuracy    strict.Length  `yaml:"accuracy,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Each size may be larger by this much, and heights, diameters and places of posts off by it."`
	Swell       strict.Length  `yaml:"swell,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"And by this much again, when cells swell."`
	Within      *withinFile    `yaml:"within,omitempty" jsonschema_description:"All of each such box, posts included, lies in these ranges."`
	Carries     *strict.Mass   `yaml:"carries,omitempty" jsonschema:"minimum=0,maximum=5000" jsonschema_description:"How much may stand on one: kg, or text such as 60 lb. Default nothing."`
	Mass        strict.Mass    `yaml:"mass,omitempty" jsonschema:"minimum=0,maximum=5000" jsonschema_description:"Mass of one: kg, or text such as 29 lb."`
	Stand       strict.Words   `yaml:"stand,omitempty" jsonschema:"enum=upright,enum=on-side,enum=on-end,enum=inverted" jsonschema_description:"Allowed stands: which face is up. Default upright alone. Do not stand flooded batteries other than upright."`
	Flooded     bool           `yaml:"flooded,omitempty" jsonschema_description:"true: it holds liquid acid, and has to stand upright."`
	Tilt        strict.Numbers `yaml:"tilt,omitempty" jsonschema:"minimum=-60,maximum=60" jsonschema_description:"Allowed pitch angles in degrees, nose down positive. Default 0 alone."`
	Posts       []postFile     `yaml:"posts,omitempty" jsonschema:"maxItems=12" jsonschema_description:"Live terminals."`
	Volts       float64        `yaml:"volts,omitempty" jsonschema:"minimum=0,maximum=2000" jsonschema_description:"Nominal voltage of one."`
	AmpHours    float64        `yaml:"amp_hours,omitempty" jsonschema:"minimum=0,maximum=2000" jsonschema_description:"Capacity of one."`
	ChargeVolts float64        `yaml:"charge_volts,omitempty" jsonschema:"minimum=0,maximum=2000" jsonschema_description:"Voltage of one at the end of charging."`
}

type withinFile struct {
	X *strict.Point2 `yaml:"x,omitempty" jsonschema:"example=[0, 250]" jsonschema_description:"From where to where forward."`
	Y *strict.Point2 `yaml:"y,omitempty" jsonschema:"example=[-100, 0]" jsonschema_description:"From where to where across: y counts to the left."`
	Z *strict.Point2 `yaml:"z,omitempty" jsonschema:"example=[0, 180]" jsonschema_description:"From where to where up."`
}

type postFile struct {
	Name        strict.Name   `yaml:"name" jsonschema:"example=plus" jsonschema_description:"Name of the post."`
	Face        string        `yaml:"face" jsonschema:"enum=front,enum=back,enum=left,enum=right,enum=top,enum=bottom" jsonschema_description:"The face of the upright box that it stands on."`
	At          strict.Point2 `yaml:"at" jsonschema:"minimum=0,maximum=4000" jsonschema_description:"The two coordinates of its middle along the face, in the order L, W, H, from the box's low corner."`
	Diameter    strict.Length `yaml:"diameter" jsonschema:"exclusiveMinimum=0,maximum=4000" jsonschema_description:"Diameter of the post."`
	Height      strict.Length `yaml:"height,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"How far it stands out of the face: 0, the default, for a flush insert."`
	Polarity    string        `yaml:"polarity,omitempty" jsonschema:"enum=+,enum=-" jsonschema_description:"The polarity: + or -."`
	Unused      bool          `yaml:"unused,omitempty" jsonschema_description:"true: nothing is joined to it. It is live all the same and gets a boot."`
	JoinedFirst bool          `yaml:"joined_first,omitempty" jsonschema_description:"true: its cable is joined to it before the box goes in, so that no tool has to reach it afterwards. Cover the free end."`
	Bolt        strict.Name   `yaml:"bolt,omitempty" jsonschema:"example=M8" jsonschema_description:"Its bolt or stud, for the hole of the lug: M6, M8 and so on."`
}
