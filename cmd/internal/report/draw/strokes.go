package draw

import "strings"

// tints are the colours of a picture in one kind of light.
type tints struct{ ink, soft, faint, ground, person, body, lit string }

// Greys only, so that nothing is lost on a black and white printer or to eyes that tell
// few colours apart. Colour is kept for light that has one. In a dark room the picture is
// dim and warm, so that it does not spoil the eyes.
var (
	onPaper   = tints{ink: "#1a1a1a", soft: "#555", faint: "#9a9a9a", ground: "#fff", person: "#d9d9d9", body: "#f2f2f2", lit: "#fff"}
	inTheDark = tints{ink: "#d8cfc0", soft: "#a89f90", faint: "#6b655c", ground: "#14120f", person: "#3a362f", body: "#26231e", lit: "#f3e6c8"}
)

// Strokes is the style sheet of every picture.
func Strokes() string {
	return shared + onPaper.rules() + "@media screen and (prefers-color-scheme:dark){" + inTheDark.rules() + "}"
}

const shared = `.drawing{font-family:system-ui,"Segoe UI",Roboto,"Helvetica Neue",Arial,"DejaVu Sans",sans-serif;font-size:3.6px}
.drawing line,.drawing path,.drawing circle,.drawing rect{fill:none;stroke-linejoin:round;stroke-linecap:butt}
.drawing .small{font-size:3.4px}.drawing .strong{font-weight:700}.drawing .badge-number{font-weight:700;font-size:3.5px}
.drawing .halo{paint-order:stroke;stroke-width:1.1px;stroke-linejoin:round}
.drawing .wall{stroke-width:.9px}.drawing .paper{stroke-width:1.3px}.drawing .thin{stroke-width:.25px}.drawing .line{stroke-width:.4px}
.drawing .heavy{stroke-width:.8px}.drawing .face{stroke-width:1.1px;stroke-linecap:round}
.drawing .body,.drawing .person,.drawing .camera{stroke-width:.35px}.drawing .card{stroke-width:.9px}.drawing .flag{stroke-width:.9px;fill-opacity:.6}.drawing .stand{stroke-width:.4px}.drawing .arm{stroke-width:.8px}
.drawing .perhaps{stroke-width:.4px;stroke-dasharray:1.2 .8}.drawing .leader{stroke-width:.2px}
.drawing .tape{stroke-width:.2px;stroke-dasharray:.5 .6}.drawing .aim{stroke-width:.3px;stroke-dasharray:2.2 .7 .5 .7}
.drawing .sight{stroke-width:.3px;stroke-dasharray:4 .8}.drawing .arc{stroke-width:.3px}.drawing .mark{stroke-width:.6px}
.drawing .spill{stroke-width:.35px;stroke-dasharray:.05 1.3;stroke-linecap:round}
.drawing .beam{stroke:none;fill-opacity:.2}
.drawing .badge{stroke-width:.35px}.drawing .grid{stroke-width:.15px}.drawing .axis{stroke-width:.35px}
.drawing .frame{stroke-width:.7px}.drawing .contour{stroke:#fff;stroke-width:.35px;mix-blend-mode:difference}.drawing .out{stroke-width:.4px;stroke-dasharray:1.4 .7}
.drawing .patch{stroke-width:.25px}.drawing .glint{stroke-width:.25px}
.drawing .edge{stroke-width:1.3px;stroke-linecap:round}
.drawing .d1{stroke-width:.6px}.drawing .d2{stroke-width:.6px;stroke-dasharray:2.4 .9}.drawing .d3{stroke-width:.6px;stroke-dasharray:.9 .9}
.drawing .d4{stroke-width:.6px;stroke-dasharray:3 .8 .8 .8}.drawing .d5{stroke-width:.6px;stroke-dasharray:1.6 .5 .5 .5 .5 .5}
.drawing .d6{stroke-width:.6px;stroke-dasharray:4 1.4}
`

func (t tints) rules() string {
	var b strings.Builder
	rule := func(classes, style string) {
		for i, c := range strings.Fields(classes) {
			if i > 0 {
				b.WriteString(",")
			}
			b.WriteString(".drawing ." + c)
		}
		b.WriteString("{" + style + "}\n")
	}
	b.WriteString(".drawing text{fill:" + t.ink + ";stroke:none}")
	rule("halo", "stroke:"+t.ground)
	rule("plate", "fill:"+t.ground+";stroke:none")
	rule("ground", "fill:"+t.ground)
	rule("muted", "fill:"+t.soft)
	rule("wall paper line heavy face body person camera arm mark frame axis d1 d2 d3 d4 d5 d6 out", "stroke:"+t.ink)
	rule("stand perhaps aim arc sight thin leader spill", "stroke:"+t.soft)
	rule("tape grid", "stroke:"+t.faint)
	rule("badge", "fill:"+t.ground+";stroke:"+t.ink)
	rule("person", "fill:"+t.person)
	rule("body camera", "fill:"+t.body)
	rule("card flag", "stroke:"+t.ink)
	rule("card", "fill:"+t.lit)
	rule("flag", "fill:"+t.soft)
	rule("face", "fill:"+t.lit)
	rule("glint", "fill:"+t.lit+";stroke:"+t.ink)
	rule("patch", "stroke:"+t.soft)
	rule("pupil", "fill:"+t.soft+";fill-opacity:.5;stroke:none")
	rule("dot solid", "fill:"+t.ink+";stroke:none")
	rule("band", "fill:"+t.faint+";fill-opacity:.35;stroke:none")
	rule("plain-beam", "fill:"+t.soft)
	return b.String()
}
