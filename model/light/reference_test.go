package light

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"falloff/model/geom"
)

// testdata/reference_cases.json: values computed with numpy and scipy from Lambert's
// formula, closed forms and brute-force quadrature, apart from this program; each says how.
type reference struct {
	ID, Area, How       string
	Input               map[string]any
	Expected, Tolerance any
}

func references(t *testing.T, area string) (out []reference) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/reference_cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var all struct{ Cases []reference }
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	for _, c := range all.Cases {
		if c.Area == area {
			out = append(out, c)
		}
	}
	if len(out) == 0 {
		t.Fatalf("no cases of %s", area)
	}
	return out
}

func (c reference) num(key string) float64 { return c.Input[key].(float64) }
func (c reference) text(key string) string { s, _ := c.Input[key].(string); return s }

func (c reference) vec(key string) geom.Vec {
	a := c.Input[key].([]any)
	return geom.Vec{X: a[0].(float64), Y: a[1].(float64), Z: a[2].(float64)}
}

// want returns an expected value, by name or the only one.
func (c reference) want(key string) float64 {
	if key == "" {
		return c.Expected.(float64)
	}
	return c.Expected.(map[string]any)[key].(float64)
}

func (c reference) near(t *testing.T, got, want float64) {
	t.Helper()
	tol := c.Tolerance.(map[string]any)
	allowed := 0.0
	if r, ok := tol["rel"]; ok {
		allowed = r.(float64) * math.Abs(want)
	} else {
		allowed = tol["abs"].(float64)
	}
	if !(math.Abs(got-want) <= allowed) {
		t.Errorf("%s: got %.7g, want %.7g +- %.2g (%s)", c.ID, got, want, allowed, c.How)
	}
}

// rectOf lays a rectangle given by its half sides on the axes of this package.
func rectOf(centre, hu, hv geom.Vec) (Emitter, Pose) {
	n := hu.Cross(hv).Unit()
	u, v := geom.Axes(n)
	size := func(d geom.Vec) float64 { return 2 * (math.Abs(hu.Dot(d)) + math.Abs(hv.Dot(d))) }
	return Emitter{Face: Face{Rect, size(u), size(v)}}, Pose{centre, centre.Add(n)}
}

// flux of a Lambertian-peaked face of on-axis luminance 1000 cd/m2.
func (e Emitter) fluxOf(luminance float64) float64 { return luminance / e.peak() }

func TestAreaSourceCases(t *testing.T) {
	up := Pose{geom.Vec{}, geom.Vec{Z: 1}}
	for _, c := range references(t, "area-source") {
		source := c.text("source")
		e, p := Emitter{}, up
		switch {
		case strings.HasPrefix(c.ID, "A-five-times"):
			e.Face = Face{Rect, 1, 1}
			if strings.Contains(source, "disc") {
				e.Face = Face{Kind: Disc, W: 1}
			}
			d := c.num("d")
			c.near(t, e.Intensity(up, geom.Vec{Z: 1})/(d*d)/e.OnAxis(d)-1, c.want(""))
			continue
		case source == "rectangle":
			e, p = rectOf(c.vec("centre"), c.vec("half_u"), c.vec("half_v"))
		case source == "disc":
			e.Face = Face{Kind: Disc, W: 2 * c.num("radius")}
		case strings.Contains(source, "octagon"):
			e.Face = Face{Kind: Octagon, W: 1.2}
		case strings.Contains(source, "0.40x1.33"):
			e = Emitter{Face: Face{Rect, 0.4, 1.33}, Grid: Grid{Square, 1}}
		case strings.Contains(source, "0.9 m square"):
			e.Face = Face{Rect, 0.9, 0.9}
			e.Law = 1
			if strings.Contains(c.ID, "cos3") {
				e.Law = 3
			}
		default:
			t.Errorf("%s: unread source %q", c.ID, source)
		}
		got := e.fluxOf(1000) * e.Illuminance(p, c.vec("point"), c.vec("normal"))
		c.near(t, got, c.want(""))
	}
}

// upright turns a frame whose y axis points up into ours.
func upright(a geom.Vec) geom.Vec { return geom.Vec{X: a.X, Y: -a.Z, Z: a.Y} }

func TestSpillCases(t *testing.T) {
	subject := 0.0
	for _, c := range references(t, "spill") {
		e, _ := rectOf(upright(c.vec("centre")), upright(c.vec("half_u")), upright(c.vec("half_v")))
		p := Pose{upright(c.vec("centre")), upright(c.vec("aim"))}
		flux := e.fluxOf(1000)
		if c.text("normal") == "toward source centre" {
			subject = flux * e.Toward(p, upright(c.vec("point")))
			c.near(t, subject, c.want(""))
			continue
		}
		got := flux * e.Illuminance(p, upright(c.vec("point")), upright(c.vec("normal")))
		c.near(t, got, c.want("E_lx"))
		c.near(t, got*c.num("reflectance")/math.Pi, c.want("L_cd_m2"))
		if d := math.Log2(got/subject) - c.want("stops_vs_subject"); math.Abs(d) > 0.005 {
			t.Errorf("%s: %.4f stops off", c.ID, d)
		}
	}
}

func TestCardCases(t *testing.T) {
	s60, c60 := math.Sincos(math.Pi / 3)
	for _, c := range references(t, "card") {
		var e Emitter
		var p Pose
		var card Card
		n := geom.Vec{Z: 1}
		switch {
		case c.ID == "C-sphere":
			c.near(t, Enclosure(c.num("flux_lm"), c.num("area_m2"), c.num("rho")), c.want(""))
			continue
		case c.ID == "C-small-card-approx":
			deg := math.Pi / 180
			c.near(t, Patch(c.num("E_at_card_lx"), c.num("rho"), c.num("card_area_m2"), c.num("distance_m"),
				c.num("theta_card_deg")*deg, c.num("theta_rx_deg")*deg), c.want(""))
			continue
		case strings.HasPrefix(c.ID, "C-card"):
			at := c.vec("src_centre")
			e, p = rectOf(at, geom.Vec{X: -0.2 * c60, Z: 0.2 * s60}, geom.Vec{Y: 0.665})
			if p.Aim.Sub(at).Z > 0 {
				t.Fatal("source faces the wrong way")
			}
			card = Card{At: geom.Vec{X: -0.8, Z: 0.2}, Normal: geom.Vec{X: 1}, W: 1, H: 0.7}
		default:
			// The key's roll about its axis is not written in the case; its first side is
			// level in a frame with y up, as in the spill cases.
			e.Face, p.At = Face{Rect, 0.9, 0.9}, upright(geom.Vec{X: -1, Y: 0.3, Z: 1})
			card = Card{At: upright(geom.Vec{X: 0.7, Z: 0.2}), Normal: geom.Vec{X: -1}, W: 0.8, H: 1.2}
			n = upright(geom.Vec{X: 1, Z: 0.6}).Unit()
		}
		card.Rho = c.num("rho")
		flux := e.fluxOf(1000)
		c.near(t, flux*e.Illuminance(p, geom.Vec{}, n), c.want("E_direct"))
		c.near(t, flux*CardBounce(e, p, card, geom.Vec{}, n), c.want("E_card"))
	}
}
