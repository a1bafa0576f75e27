package constraints

import (
	"testing"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

// Wherever a light may stand, a set-up file can say so: the ends of every role's range are
// written and read back.
func TestStatedPlacesReadBack(t *testing.T) {
	for r := range inventory.NumRoles {
		at := Stated[r]
		azimuths := []float64{at.Az.Lo, at.Az.Hi}
		if r == inventory.Key {
			azimuths = append(azimuths, wideRange.Lo, wideRange.Hi)
		}
		for _, az := range azimuths {
			for _, el := range []float64{at.El.Lo, at.El.Hi} {
				for _, d := range []float64{at.D.Lo, at.D.Hi} {
					set := &inventory.Setup{Name: "ends", Camera: inventory.CameraSet{Body: "body", Lens: "lens", Aperture: 4, Shutter: 0.01, ISO: 100, Frame: 0.6, Height: 1.2},
						Backdrop: inventory.BackdropSet{Item: "paper", Distance: 2}, Lights: []inventory.LightSet{{Role: r.String(), Head: "head", Light: "flash", Stand: "stand",
							Distance: unit.Length(d), Azimuth: unit.Angle(az) * unit.Degree, Elevation: unit.Angle(el) * unit.Degree}}}
					text, err := set.Text()
					if err != nil {
						t.Fatal(err)
					}
					got, err := inventory.LoadSetupFrom(&source.File{Name: "ends.yaml", Text: text})
					if err != nil {
						t.Errorf("%s: %v", r, err)
					} else if l := got.Lights[0]; l.Azimuth != set.Lights[0].Azimuth || l.Elevation != set.Lights[0].Elevation || l.Distance != set.Lights[0].Distance {
						t.Errorf("%s: %+v is read back as %+v", r, set.Lights[0], l)
					}
				}
			}
		}
	}
}
