package frame

import "math"

// MassHeight returns the height in millimetres of the middle of the vehicle's own mass above
// the road, as given or from the weighing with one axle lifted, and whether it is known.
//
// Wheels that are free to roll bear what is right above them, so each of two axles bears the
// share of the mass that its distance along the level from the other axle tells. Between the
// level weighing and the lifted one the vehicle has turned by an angle that the axles'
// heights give; the change of load then gives the height. With equal wheels this is
// ΔW · L · √(L² − h²) / (h · M) above the axles (statics; the shortcut L² ΔW / (h M) is too
// great).
func (v *Vehicle) MassHeight() (float64, bool) {
	if v == nil {
		return 0, false
	}
	if v.Height != nil {
		return *v.Height, true
	}
	a := v.Raised
	if a == nil || v.Wheels[0].Weighed == nil || v.Wheels[1].Weighed == nil {
		return 0, false
	}
	up, down := v.Wheels[a.Wheel], v.Wheels[1-a.Wheel]
	whole := *up.Weighed + *down.Weighed
	base := up.At.Sub(down.At).Norm()
	between := math.Hypot(base, up.Radius-down.Radius)
	before, after := math.Asin((up.Radius-down.Radius)/between), math.Asin((up.Radius+a.By-down.Radius)/between)
	turn := after - before
	if math.IsNaN(turn) || turn <= 0 || whole <= 0 {
		return 0, false
	}
	// Seen from the lower axle, towards the lifted one: along before the turn, and after it.
	along := *up.Weighed * base / whole
	moved := (whole - a.Load) * between * math.Cos(after) / whole
	// A point (along, h) turned upwards by turn lies at along·cos − h·sin.
	return down.Radius + (along*math.Cos(turn)-moved)/math.Sin(turn), true
}
