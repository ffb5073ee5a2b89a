package loads

import (
	"math"

	"rackwright/pack/rack"
	"rackwright/pack/rack/beam"
)

// members is what bars and rods use of their strength, at both ends of each member.
func (m *model) members(s *beam.Solution) []use {
	var list []use
	for _, b := range m.rack.Bars {
		list = append(list, m.line(s, m.bars[b.Name], func(i beam.Inner) float64 { return barStress(b, i) / rack.Yield }))
	}
	for i := range m.rack.Fasteners {
		f := &m.rack.Fasteners[i]
		if rod := m.bars[f.Name]; rod != nil {
			list = append(list, m.line(s, rod, func(i beam.Inner) float64 { return rodStress(f, i) }))
		}
	}
	return list
}

func (m *model) line(s *beam.Solution, l *line, stress func(beam.Inner) float64) use {
	worst := use{part: l.name, how: "bending, pull and torsion together"}
	for _, member := range l.members {
		for _, t := range []float64{0, 1} {
			worst.use = math.Max(worst.use, stress(s.Inner(member, t)))
		}
	}
	return worst
}

// barStress is the greatest of von Mises's stresses at the corners of a section, in MPa.
func barStress(b rack.Bar, i beam.Inner) float64 {
	p := b.Section.Properties()
	w, t := b.Section.Width, b.Section.Thick
	twist := math.Abs(i.Moment.X) * t / p.J
	shear := 1.5 * math.Hypot(i.Force.Y, i.Force.Z) / (w * t)
	worst := 0.0
	for _, c := range corners(b.Section) {
		pull := i.Force.X/p.Area + i.Moment.Y*c[1]/p.IY - i.Moment.Z*c[0]/p.IZ
		worst = math.Max(worst, math.Hypot(pull, math.Sqrt(3)*(twist+shear)))
	}
	return worst
}

// corners are those of a section in its principal axes y and z, from the middle of its area.
func corners(s rack.Section) [][2]float64 {
	if s.Form != rack.Angle {
		y, z := s.Width/2, s.Thick/2
		return [][2]float64{{y, z}, {y, -z}, {-y, z}, {-y, -z}}
	}
	c, _ := s.Centroid()
	var list [][2]float64
	for _, p := range [][2]float64{{0, 0}, {s.Width, 0}, {s.Width, s.Thick}, {0, s.Width}, {s.Thick, s.Width}} {
		a, b := p[0]-c, p[1]-c
		list = append(list, [2]float64{(a + b) / math.Sqrt2, (b - a) / math.Sqrt2})
	}
	return list
}

// rodYield is what a rod's class yields at, in MPa: the two numbers of the class.
func rodYield(class string) float64 {
	return map[string]float64{"4.6": 240, "4.8": 320, "8.8": 640, "10.9": 900}[class]
}

// rodStress is the part of its yield that a rod's core is under.
func rodStress(f *rack.Fastener, i beam.Inner) float64 {
	t, _ := rack.ThreadOf(f.Size)
	a := t.StressArea()
	d := math.Sqrt(4 * a / math.Pi)
	w := math.Pi * d * d * d / 32
	pull := math.Abs(i.Force.X)/a + math.Hypot(i.Moment.Y, i.Moment.Z)/w
	shear := 4.0/3*math.Hypot(i.Force.Y, i.Force.Z)/a + math.Abs(i.Moment.X)/(2*w)
	return math.Hypot(pull, math.Sqrt(3)*shear) / rodYield(f.Class)
}

// fasteners is what bolts use of theirs: shear across, tension along, and what prises them.
func (m *model) fasteners(s *beam.Solution) []use {
	var list []use
	for _, j := range m.joints {
		t, _ := rack.ThreadOf(j.fastener.Size)
		shearR, tensionR, err := t.Resistance(j.fastener.Class)
		if err != nil {
			continue
		}
		c, axis := s.Joint(j.number), j.fastener.Along()
		pull := math.Abs(c.Force.Dot(axis))
		shear := c.Force.Sub(axis.Mul(c.Force.Dot(axis))).Norm()
		prise := c.Moment.Sub(axis.Mul(c.Moment.Dot(axis))).Norm() / j.lever
		tension := pull + prise
		list = append(list, use{math.Max(shear/shearR+tension/(1.4*tensionR), tension/tensionR), j.fastener.Name, "tension and shear"})
		for _, hole := range j.holes {
			list = append(list, use{hole.bearing(t, c.Force), j.fastener.Name, tears + hole.bar.Name})
		}
	}
	return list
}
