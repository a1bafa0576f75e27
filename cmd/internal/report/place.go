package report

import (
	"math"

	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/unit"
	"falloff/solver"
)

// buildOrder is the order in which lights go up: the backdrop's first, while nothing else
// is in its way, then the key, what fills it, and what outlines the sitter
// (common practice, no source).
var buildOrder = []inventory.Role{
	inventory.Background, inventory.Key, inventory.Fill,
	inventory.RimLeft, inventory.RimRight, inventory.Hair,
}

var roleTitles = map[string]string{
	"key": "Key", "fill": "Fill", "rim-left": "Rim, camera left", "rim-right": "Rim, camera right",
	"hair": "Hair light", "background": "Background light",
}

// inBuildOrder lists the lights as they are built. A role that is not known comes last.
func inBuildOrder(lights []solver.LightReport) []*solver.LightReport {
	out := make([]*solver.LightReport, 0, len(lights))
	for _, r := range buildOrder {
		for i := range lights {
			if lights[i].Set.Role == r.String() {
				out = append(out, &lights[i])
			}
		}
	}
	for i := range lights {
		if _, ok := inventory.RoleByName(lights[i].Set.Role); !ok {
			out = append(out, &lights[i])
		}
	}
	return out
}

// target is what a light is aimed at, and from where its distance is taped.
func target(role string) string {
	switch role {
	case "key", "fill":
		return "the eyes"
	case "rim-left":
		return "the edge of the hair on camera left"
	case "rim-right":
		return "the edge of the hair on camera right"
	case "hair":
		return "the crown of the head"
	case "background":
		return "the spot on the backdrop behind the head"
	}
	return "its target"
}

// side names the side of an offset; left and right are the camera's.
func side(x float64) string {
	if x < 0 {
		return "camera left"
	}
	return "camera right"
}

// bearing puts an azimuth into words: 0 is toward the camera.
func bearing(az unit.Angle) string {
	if abs(az) > math.Pi { // on past straight behind to the other side
		az -= unit.Angle(math.Copysign(2*math.Pi, float64(az)))
	}
	d := math.Round(az.Degrees())
	switch a := math.Abs(d); {
	case a == 0:
		return "in line with the camera"
	case a == 180:
		return "straight behind"
	case a <= 90:
		return degrees(abs(az)) + " to " + side(d)
	default:
		return degrees(abs(az)) + " round to " + side(d) + " (" + degrees(unit.Angle(math.Pi)-abs(az)) + " off straight behind)"
	}
}

// rise puts an elevation into words.
func rise(el unit.Angle, from string) string {
	switch d := math.Round(el.Degrees()); {
	case d > 0:
		return degrees(el) + " above " + from
	case d < 0:
		return degrees(-el) + " below " + from
	}
	if from == "eye level" {
		return "at eye level"
	}
	return "level with " + from
}

// place is the light as seen from its target.
func (st Style) place(l *solver.LightReport) string {
	level := "it"
	if l.Set.Role == "key" || l.Set.Role == "fill" {
		level = "eye level"
	}
	return st.tape(l.Set.Distance) + " from " + target(l.Set.Role) + ", " + bearing(l.Set.Azimuth) + ", " + rise(l.Set.Elevation, level)
}

// onFloor is the point under the face centre, measured from the sitter's mark.
func (st Style) onFloor(l *solver.LightReport) string {
	s := st.across(l.At.X) + ", " + st.along(l.At.Y)
	if l.At.Y < 0 || l.Set.Role == "background" {
		s += " (" + st.tape(l.FromBack) + " clear of it)"
	}
	return s
}

func (st Style) across(x float64) string {
	if math.Abs(x) < 0.005 {
		return "on the centre line"
	}
	return st.tape(unit.Length(math.Abs(x))) + " to " + side(x) + " of the mark"
}

func (st Style) along(y float64) string {
	switch {
	case math.Abs(y) < 0.005:
		return "level with the mark"
	case y > 0:
		return st.tape(unit.Length(y)) + " toward the camera"
	}
	return st.tape(unit.Length(-y)) + " toward the backdrop"
}

// aim says where the face points and how far it is tipped.
func (st Style) aim(l *solver.LightReport) string {
	s := "at " + target(l.Set.Role) + ", " + st.tape(unit.Length(l.Aim.Z)) + " up"
	if f := l.Set.Feather; f != 0 {
		s = degrees(abs(f)) + " past " + target(l.Set.Role) + ", " + past(l)
	}
	return s + "; " + tilt(l.Aim.Sub(l.At))
}

// past is the way in which a feathered face is turned from its target.
func past(l *solver.LightReport) string {
	// The target lies straight ahead of where the face would look with no feather.
	az, el := l.Aim.Sub(l.At).AzEl()
	by := l.Aim.Sub(l.At.Add(geom.Polar(az+float64(l.Set.Feather), el).Mul(l.Aim.Sub(l.At).Len())))
	switch {
	case math.Abs(by.X) > math.Abs(by.Y):
		return "toward " + side(by.X)
	case by.Y > 0:
		return "toward the camera"
	}
	return "toward the backdrop"
}

func tilt(v geom.Vec) string {
	_, el := v.AzEl()
	switch a := unit.Angle(el); {
	case math.Round(a.Degrees()) == 0:
		return "face upright"
	case a < 0:
		return "face tipped " + degrees(-a) + " down"
	default:
		return "face tipped " + degrees(a) + " up"
	}
}

func abs(a unit.Angle) unit.Angle { return max(a, -a) }
