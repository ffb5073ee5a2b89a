package secondjudge

import (
	"encoding/json"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/pack"
)

// Files writes a problem that was made in Go as the two files that say the same.
func Files(p pack.Problem) (frameFile, packFile []byte) {
	return encoded(frameDoc(p.Frame)), encoded(packDoc(p.Pack))
}

type doc = map[string]any

func encoded(d doc) []byte {
	b, err := json.Marshal(d)
	if err != nil {
		panic(err) // numbers of a problem are finite
	}
	return b
}

func frameDoc(f *frame.Frame) doc {
	o := f.Opening
	opening := doc{"outline": plane(o.Outline.Corners), "metal": o.Metal}
	var stations []doc
	for _, s := range o.Stations {
		stations = append(stations, doc{"z": s.Z, "across": across(s.Across)})
	}
	opening["stations"] = stations
	if o.Accuracies != nil {
		var sides []doc
		for i, a := range o.Accuracies {
			sides = append(sides, doc{"name": o.SideName(i), "accuracy": a})
		}
		opening["sides"] = sides
	}
	d := doc{"format": 1, "frame": f.Name, "accuracy": f.Accuracy, "opening": opening}
	var rails, keepOuts []doc
	for _, r := range f.Rails {
		one := doc{"name": r.Name, "path": space(r.Path...), "diameter": r.Diameter, "mirror": r.Mirror}
		rails = append(rails, withOwn(one, r.Gap, r.Accuracy))
	}
	for _, k := range f.KeepOuts {
		keepOuts = append(keepOuts, withOwn(keepOutDoc(k), k.Gap, k.Accuracy))
	}
	d["rails"], d["keepouts"] = rails, keepOuts
	return d
}

func keepOutDoc(k frame.KeepOut) doc {
	d := doc{"name": k.Name, "metal": k.Metal}
	switch {
	case k.Box != nil:
		ends := space(k.Box.Low, k.Box.High)
		d["box"] = doc{"low": ends[0], "high": ends[1]}
	case k.Section != nil:
		d["section"] = plane(k.Section.Across.Corners)
		if k.Section.Side != nil {
			d["outline"] = plane(k.Section.Side.Corners)
		} else {
			d["along"] = across(k.Section.Along)
		}
	case k.Round != nil:
		ends := space(k.Round.From, k.Round.To)
		d["round"] = doc{"from": ends[0], "to": ends[1], "diameter": k.Round.Diameter}
	default:
		d["outline"], d["across"] = plane(k.Profile.Outline.Corners), across(k.Profile.Across)
	}
	return d
}

func withOwn(d doc, gap, accuracy *float64) doc {
	if gap != nil {
		d["gap"] = *gap
	}
	if accuracy != nil {
		d["accuracy"] = *accuracy
	}
	return d
}

func packDoc(p *pack.Pack) doc {
	g := p.Gaps
	d := doc{"format": 1, "pack": p.Name, "gaps": doc{
		"beside": g.Beside, "above": g.Above, "wall": g.Wall, "rail": g.Rail, "keepout": g.KeepOut, "post": g.Post, "boot": g.Boot, "tray": g.Tray,
	}}
	var kinds []doc
	for _, k := range p.Kinds {
		kinds = append(kinds, kindDoc(k))
	}
	d["boxes"] = kinds
	return d
}

func kindDoc(k pack.Kind) doc {
	var stands []string
	for _, s := range k.Stands {
		stands = append(stands, s.String())
	}
	var tilts []float64
	for _, t := range k.Tilts {
		tilts = append(tilts, t.Degrees())
	}
	var posts []doc
	for _, t := range k.Posts {
		posts = append(posts, doc{"name": t.Name, "face": t.Face.String(), "at": []float64{t.At.X, t.At.Y}, "diameter": t.Diameter, "height": t.Height})
	}
	return doc{
		"name": k.Name, "count": k.Count, "size": space(k.Size)[0], "accuracy": k.Accuracy, "swell": k.Swell,
		"stand": stands, "tilt": tilts, "posts": posts,
		"mass": k.Mass, "carries": k.Carries, "within": rangeDoc(k.Within),
	}
}

func rangeDoc(g pack.Range) doc {
	d := doc{}
	for i, in := range g {
		if in != nil {
			d[string("xyz"[i])] = across(*in)
		}
	}
	return d
}

func plane(corners []r2.Point) (list [][2]float64) {
	for _, c := range corners {
		list = append(list, [2]float64{c.X, c.Y})
	}
	return list
}

func space(points ...r3.Vector) (list [][3]float64) {
	for _, p := range points {
		list = append(list, [3]float64{p.X, p.Y, p.Z})
	}
	return list
}

func across(i r1.Interval) [2]float64 { return [2]float64{i.Lo, i.Hi} }
