package colour

// GenericGel is a gel that a photographer may not own yet. Each curve is generic and
// invented, so that its photopic transmittance over a 5600 K light falls in the usual
// range for its kind and a conversion has its usual mired shift; replace it by a
// measured one. The ranges are from memory.
type GenericGel struct {
	Name  string
	Curve string // for ParseCurve
}

var genericGels = [...]GenericGel{
	{"full orange conversion", "0.20 + 0.62 rise(550, 25)"},
	{"half orange conversion", "0.44 + 0.44 rise(545, 25)"},
	{"quarter orange conversion", "0.62 + 0.26 rise(535, 20)"},
	{"full blue conversion", "0.28 + 0.48 gauss(440, 50)"},
	{"half blue conversion", "0.46 + 0.38 gauss(430, 60)"},
	{"quarter blue conversion", "0.64 + 0.24 gauss(440, 50)"},
	{"straw", "0.25 + 0.63 rise(500, 12)"},
	{"amber", "0.02 + 0.78 rise(546, 14)"},
	{"deep amber", "0.01 + 0.82 rise(557, 12)"},
	{"orange", "0.01 + 0.86 rise(572, 10)"},
	{"primary red", "0.01 + 0.86 rise(614, 8)"},
	{"rose", "0.02 + 0.14 gauss(430, 35) + 0.82 rise(600, 9)"},
	{"pink", "0.05 + 0.45 gauss(430, 40) + 0.75 rise(597, 12)"},
	{"magenta", "0.84 * (1 - 0.96 gauss(540, 55))"},
	{"lavender", "0.80 * (1 - 0.87 gauss(565, 55))"},
	{"purple", "0.02 + 0.50 gauss(435, 32) + 0.60 rise(625, 12)"},
	{"violet", "0.03 + 0.60 gauss(435, 30) + 0.40 rise(640, 12)"},
	{"deep blue", "0.008 + 0.60 gauss(450, 22)"},
	{"medium blue", "0.01 + 0.65 gauss(455, 30)"},
	{"sky", "0.10 + 0.70 gauss(475, 46)"},
	{"cyan", "0.06 + 0.76 fall(565, 14)"},
	{"teal", "0.04 + 0.70 gauss(500, 42)"},
	{"primary green", "0.01 + 0.35 gauss(530, 26)"},
	{"leaf green", "0.03 + 0.60 gauss(555, 32)"},
	{"plus-green", "0.70 + 0.20 gauss(545, 55)"},
	{"minus-green", "0.90 * (1 - 0.28 gauss(545, 50))"},
}

// GenericGels lists the generic gels, conversions first, then round the hue circle,
// then the two corrections.
func GenericGels() []GenericGel { return append([]GenericGel(nil), genericGels[:]...) }

// GenericGelByName finds a generic gel and builds it.
func GenericGelByName(name string) (Gel, bool) {
	for _, g := range genericGels {
		if g.Name == name {
			return g.Gel(), true
		}
	}
	return Gel{}, false
}

// Gel builds the gel. A curve of ours that cannot be read is our own mistake.
func (g GenericGel) Gel() Gel {
	gel, err := ParseCurve(g.Curve)
	if err != nil {
		panic("generic gel " + g.Name + ": " + err.Error())
	}
	return gel
}
