package unit

import (
	"math"
	"strconv"
)

// The units and bounds of each quantity. The bounds are wide of anything met in a
// studio: they catch a slipped unit or digit, not an unusual shoot.
var (
	lengths = quantity{
		name: "a length", example: "1.2 m or 4 ft 6 in", hi: 1000, compound: true,
		measures: lengthMeasures, pick: pickLength, decimals: -4,
	}
	offsets = quantity{
		name: "an offset", example: "-0.4 m", lo: -1000, hi: 1000, compound: true,
		measures: lengthMeasures, pick: pickLength, decimals: -4,
	}
	areas = quantity{
		name: "an area", example: "0.54 m2", hi: 1e6, decimals: -4,
		measures: []measure{
			{names: []string{"m2", "m\u00b2", "sqm"}},
			{names: []string{"cm2", "cm\u00b2"}, shift: -4},
			{names: []string{"mm2", "mm\u00b2"}, shift: -6},
			{names: []string{"ft2", "ft\u00b2", "sqft"}, times: 9290304, over: 1e8},
		},
	}
	angles = quantity{
		name: "an angle", example: "35 deg", lo: -360 * float64(Degree), hi: 360 * float64(Degree), decimals: 1,
		measures: []measure{
			{names: []string{"deg", "\u00b0", "degree", "degrees"}, times: float64(Degree)},
			{names: []string{"rad"}},
		},
	}
	times = quantity{
		name: "a time", example: "1/160 s, 5 ms or 2 s", hi: 1e6, compound: true, decimals: -3,
		measures: timeMeasures,
		pick: func(v float64) int {
			if 0 < v && v < 0.1 {
				return 1
			}
			return 0
		},
	}
	masses = quantity{
		name: "a mass", example: "3.5 kg or 8 lb", hi: 10000, compound: true, decimals: -3,
		measures: []measure{
			{names: []string{"kg"}},
			{names: []string{"g"}, shift: -3},
			{names: []string{"lb", "lbs", "pound", "pounds"}, times: 45359237, over: 1e8},
			{names: []string{"oz", "ounce", "ounces"}, times: 45359237, over: 16e8},
		},
		pick: func(v float64) int {
			if 0 < v && v < 1 {
				return 1
			}
			return 0
		},
	}
	stops = quantity{
		name: "a level", example: "-2 stops or +1/3 stop", lo: -60, hi: 60, signed: true, decimals: 2,
		measures: []measure{{names: []string{"stops", "stop", "EV"}}},
	}
	energies = quantity{
		name: "an energy", example: "400 Ws", hi: 1e6, decimals: -3,
		measures: []measure{{names: []string{"Ws", "J"}}, {names: []string{"kJ", "kWs"}, shift: 3}},
	}
	powers = quantity{
		name: "a power", example: "150 W", hi: 1e6, decimals: -3,
		measures: []measure{{names: []string{"W", "watt", "watts"}}, {names: []string{"kW"}, shift: 3}},
	}
	fluxes = quantity{
		name: "a luminous flux", example: "9000 lm", hi: 1e8, decimals: -3,
		measures: []measure{{names: []string{"lm", "lumen", "lumens"}}, {names: []string{"klm"}, shift: 3}},
	}
	illuminances = quantity{
		name: "an illuminance", example: "800 lx", hi: 1e9, decimals: -3,
		measures: []measure{
			{names: []string{"lx", "lux"}},
			{names: []string{"klx"}, shift: 3},
			{names: []string{"fc"}, times: 1e8, over: 9290304}, // lumen per square foot
		},
	}
	efficacies = quantity{
		name: "an efficacy", example: "40 lm/W", hi: 683, decimals: -3, // 683 lm/W: SI definition of the candela
		measures: []measure{{names: []string{"lm/W", "lm/Ws", "lms/Ws", "lm/J"}}},
	}
	kelvins = quantity{
		name: "a colour temperature", example: "5600 K", lo: 1000, hi: 40000, decimals: 0,
		measures: []measure{{names: []string{"K", "kelvin"}}},
	}
	mireds = quantity{
		name: "a mired shift", example: "+159 mired", lo: -1000, hi: 1000, signed: true, decimals: 0,
		measures: []measure{{names: []string{"mired", "mireds"}}},
	}
	shares = quantity{
		name: "a share", example: "40 % or 0.4", hi: 1, bare: true, decimals: 1,
		measures: []measure{{names: []string{"%", "percent"}, shift: -2}},
	}
	moneys   = quantity{name: "a sum of money", example: "25", hi: 1e9, bare: true, decimals: 2}
	handling = quantity{
		name: "a handling time", example: "12 min or 1 h 10 min", hi: 1e5, compound: true, decimals: 1,
		measures: []measure{
			{names: []string{"min", "mins", "minute", "minutes"}},
			{names: []string{"h", "hr", "hour", "hours"}, times: 60},
			{names: []string{"s", "sec", "seconds"}, times: 1, over: 60},
		},
	}
	fnumbers = quantity{name: "an f-number", example: "f/5.6", lo: 0.5, hi: 128, prefix: "f/", needPrefix: true, bare: true, decimals: -3}
	isos     = quantity{name: "an ISO setting", example: "ISO 100", lo: 1, hi: 1e7, prefix: "ISO ", bare: true, decimals: 0}
	shutters = quantity{
		name: "a shutter speed", example: "1/160 s or 2 s", lo: 1e-5, hi: 3600, decimals: -3,
		measures: timeMeasures,
	}
)

// quantities are searched for the owner of a misplaced unit.
var quantities []*quantity

func init() {
	quantities = []*quantity{&lengths, &areas, &angles, &times, &masses, &stops, &energies, &powers, &fluxes,
		&illuminances, &efficacies, &kelvins, &mireds, &shares}
	handling.form, shutters.form = minutesText, shutterText
}

var lengthMeasures = []measure{
	{names: []string{"m", "metre", "metres", "meter", "meters"}},
	{names: []string{"cm"}, shift: -2},
	{names: []string{"mm"}, shift: -3},
	{names: []string{"km"}, shift: 3},
	{names: []string{"ft", "foot", "feet", "'"}, times: 3048, over: 1e4},
	{names: []string{"in", "inch", "inches", `"`}, times: 254, over: 1e4},
}

var timeMeasures = []measure{
	{names: []string{"s", "sec", "second", "seconds"}},
	{names: []string{"ms"}, shift: -3},
	{names: []string{"us", "\u00b5s"}, shift: -6},
	{names: []string{"min"}, times: 60},
}

// pickLength prints a room in metres, a soft box in centimetres, a lens in millimetres.
func pickLength(v float64) int {
	switch {
	case v == 0 || v >= 1:
		return 0
	case v >= 0.1 && len(decimalText(v, -2)) == 2:
		return 1
	}
	return 2
}

// shutterText writes the marks as they are engraved: 1/160 s, 0.5 s.
func shutterText(v float64, exact bool) string {
	if 0 < v && v < 0.26 {
		n := math.Round(1 / v)
		if 1/n == v {
			return "1/" + decimalText(n, 0) + " s"
		}
		if !exact {
			three, _ := strconv.ParseFloat(strconv.FormatFloat(1/v, 'g', 3, 64), 64) // figures, without an exponent
			return "1/" + strconv.FormatFloat(three, 'f', -1, 64) + " s"
		}
	}
	if !exact {
		v = shutters.rounded(v)
	}
	return shutters.write(v, shutters.measure(v))
}

// minutesText writes whole hours and minutes from one hour on.
func minutesText(v float64, exact bool) string {
	if !exact {
		v = handling.rounded(v)
	}
	if v < 60 || v != math.Floor(v) || v > handling.hi {
		return handling.write(v, handling.measure(v))
	}
	h := math.Floor(v / 60)
	text := decimalText(h, 0) + " h"
	if rest := v - 60*h; rest > 0 {
		text += " " + decimalText(rest, 0) + " min"
	}
	return text
}

// String writes a value for people: as it stands when it takes six digits or fewer,
// which is how people write values, and otherwise rounded to what is worth reading.
// MarshalText writes it exactly: UnmarshalText gives the same value back. It refuses a
// value that UnmarshalText would refuse.

func (l Length) String() string                     { return lengths.show(float64(l)) }
func (l Length) MarshalText() ([]byte, error)       { return lengths.marshal(float64(l)) }
func (l *Length) UnmarshalText(b []byte) error      { return read(&lengths, b, l) }
func (l Length) quantity() *quantity                { return &lengths }
func (o Offset) String() string                     { return offsets.show(float64(o)) }
func (o Offset) MarshalText() ([]byte, error)       { return offsets.marshal(float64(o)) }
func (o *Offset) UnmarshalText(b []byte) error      { return read(&offsets, b, o) }
func (o Offset) quantity() *quantity                { return &offsets }
func (a Area) String() string                       { return areas.show(float64(a)) }
func (a Area) MarshalText() ([]byte, error)         { return areas.marshal(float64(a)) }
func (a *Area) UnmarshalText(b []byte) error        { return read(&areas, b, a) }
func (a Area) quantity() *quantity                  { return &areas }
func (a Angle) String() string                      { return angles.show(float64(a)) }
func (a Angle) MarshalText() ([]byte, error)        { return angles.marshal(float64(a)) }
func (a *Angle) UnmarshalText(b []byte) error       { return read(&angles, b, a) }
func (a Angle) quantity() *quantity                 { return &angles }
func (t Time) String() string                       { return times.show(float64(t)) }
func (t Time) MarshalText() ([]byte, error)         { return times.marshal(float64(t)) }
func (t *Time) UnmarshalText(b []byte) error        { return read(&times, b, t) }
func (t Time) quantity() *quantity                  { return &times }
func (m Mass) String() string                       { return masses.show(float64(m)) }
func (m Mass) MarshalText() ([]byte, error)         { return masses.marshal(float64(m)) }
func (m *Mass) UnmarshalText(b []byte) error        { return read(&masses, b, m) }
func (m Mass) quantity() *quantity                  { return &masses }
func (s Stops) String() string                      { return stops.show(float64(s)) }
func (s Stops) MarshalText() ([]byte, error)        { return stops.marshal(float64(s)) }
func (s *Stops) UnmarshalText(b []byte) error       { return read(&stops, b, s) }
func (s Stops) quantity() *quantity                 { return &stops }
func (e Energy) String() string                     { return energies.show(float64(e)) }
func (e Energy) MarshalText() ([]byte, error)       { return energies.marshal(float64(e)) }
func (e *Energy) UnmarshalText(b []byte) error      { return read(&energies, b, e) }
func (e Energy) quantity() *quantity                { return &energies }
func (p Power) String() string                      { return powers.show(float64(p)) }
func (p Power) MarshalText() ([]byte, error)        { return powers.marshal(float64(p)) }
func (p *Power) UnmarshalText(b []byte) error       { return read(&powers, b, p) }
func (p Power) quantity() *quantity                 { return &powers }
func (f Flux) String() string                       { return fluxes.show(float64(f)) }
func (f Flux) MarshalText() ([]byte, error)         { return fluxes.marshal(float64(f)) }
func (f *Flux) UnmarshalText(b []byte) error        { return read(&fluxes, b, f) }
func (f Flux) quantity() *quantity                  { return &fluxes }
func (e Illuminance) String() string                { return illuminances.show(float64(e)) }
func (e Illuminance) MarshalText() ([]byte, error)  { return illuminances.marshal(float64(e)) }
func (e *Illuminance) UnmarshalText(b []byte) error { return read(&illuminances, b, e) }
func (e Illuminance) quantity() *quantity           { return &illuminances }
func (e Efficacy) String() string                   { return efficacies.show(float64(e)) }
func (e Efficacy) MarshalText() ([]byte, error)     { return efficacies.marshal(float64(e)) }
func (e *Efficacy) UnmarshalText(b []byte) error    { return read(&efficacies, b, e) }
func (e Efficacy) quantity() *quantity              { return &efficacies }
func (k Kelvin) String() string                     { return kelvins.show(float64(k)) }
func (k Kelvin) MarshalText() ([]byte, error)       { return kelvins.marshal(float64(k)) }
func (k *Kelvin) UnmarshalText(b []byte) error      { return read(&kelvins, b, k) }
func (k Kelvin) quantity() *quantity                { return &kelvins }
func (m Mired) String() string                      { return mireds.show(float64(m)) }
func (m Mired) MarshalText() ([]byte, error)        { return mireds.marshal(float64(m)) }
func (m *Mired) UnmarshalText(b []byte) error       { return read(&mireds, b, m) }
func (m Mired) quantity() *quantity                 { return &mireds }
func (s Share) String() string                      { return shares.show(float64(s)) }
func (s Share) MarshalText() ([]byte, error)        { return shares.marshal(float64(s)) }
func (s *Share) UnmarshalText(b []byte) error       { return read(&shares, b, s) }
func (s Share) quantity() *quantity                 { return &shares }
func (m Money) String() string                      { return moneys.show(float64(m)) }
func (m Money) MarshalText() ([]byte, error)        { return moneys.marshal(float64(m)) }
func (m *Money) UnmarshalText(b []byte) error       { return read(&moneys, b, m) }
func (m Money) quantity() *quantity                 { return &moneys }
func (m Minutes) String() string                    { return handling.show(float64(m)) }
func (m Minutes) MarshalText() ([]byte, error)      { return handling.marshal(float64(m)) }
func (m *Minutes) UnmarshalText(b []byte) error     { return read(&handling, b, m) }
func (m Minutes) quantity() *quantity               { return &handling }
func (n FNumber) String() string                    { return fnumbers.show(float64(n)) }
func (n FNumber) MarshalText() ([]byte, error)      { return fnumbers.marshal(float64(n)) }
func (n *FNumber) UnmarshalText(b []byte) error     { return read(&fnumbers, b, n) }
func (n FNumber) quantity() *quantity               { return &fnumbers }
func (s ISO) String() string                        { return isos.show(float64(s)) }
func (s ISO) MarshalText() ([]byte, error)          { return isos.marshal(float64(s)) }
func (s *ISO) UnmarshalText(b []byte) error         { return read(&isos, b, s) }
func (s ISO) quantity() *quantity                   { return &isos }
func (t Shutter) String() string                    { return shutters.show(float64(t)) }
func (t Shutter) MarshalText() ([]byte, error)      { return shutters.marshal(float64(t)) }
func (t *Shutter) UnmarshalText(b []byte) error     { return read(&shutters, b, t) }
func (t Shutter) quantity() *quantity               { return &shutters }
