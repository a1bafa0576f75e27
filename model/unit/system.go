package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"falloff/model/source/spell"
)

// System is how lengths and masses are written for people.
type System int

const (
	Metric System = iota
	Imperial
)

// ParseSystem reads "metric" or "imperial".
func ParseSystem(text string) (System, error) {
	names := []string{"metric", "imperial"}
	for i, n := range names {
		if strings.EqualFold(strings.TrimSpace(text), n) {
			return System(i), nil
		}
	}
	if near, ok := spell.Nearest(strings.TrimSpace(text), names); ok {
		return 0, fmt.Errorf("unknown system of units %s; did you mean %q?", quote(text), near)
	}
	return 0, fmt.Errorf("unknown system of units %s; there are metric and imperial", quote(text))
}

func (s System) String() string {
	if s == Imperial {
		return "imperial"
	}
	return "metric"
}

// Length writes l for a tape measure. Metric: to 1 cm from 10 cm up ("1.25 m", "16 cm"),
// to 1 mm from 1 cm ("35 mm"), finer below. Imperial: to half an inch from a foot up
// ("4 ft 1 in"), to an eighth below ("1 3/8 in"), to a hundredth under half an inch.
// Every result can be parsed again. A negative or infinite length is written too.
func (s System) Length(l Length) string {
	v := float64(l)
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0) || math.Abs(v) > 1e9:
		return lengths.show(v)
	case v < 0:
		if text := s.Length(-l); !strings.HasPrefix(text, "0 ") {
			return "-" + text
		}
		return s.Length(0)
	case s == Imperial:
		return imperialLength(v / float64(Inch))
	}
	return metricLength(v)
}

// Offset writes a coordinate with the rules of Length.
func (s System) Offset(o Offset) string { return s.Length(Length(o)) }

// Size writes a width and a height with the rules of Length.
func (s System) Size(z Size) string {
	w, h := s.Length(z.W), s.Length(z.H)
	switch {
	case z.One:
		return w
	case s == Imperial && z.W < 3*Foot && z.H < 3*Foot:
		return inches(float64(z.W/Inch), 2) + " x " + inches(float64(z.H/Inch), 2) + " in"
	case s == Metric:
		lo, hi := dropUnit(w, &h), h
		return lo + " x " + hi
	}
	return w + " x " + h
}

func metricLength(m float64) string {
	switch mm, cm := math.Round(m*1e3), math.Round(m*1e2); {
	case cm >= 100:
		return decimalText(cm/100, 0) + " m"
	case mm >= 100:
		return decimalText(cm, 0) + " cm"
	case mm >= 10:
		return decimalText(mm, 0) + " mm"
	case m >= 0.00095:
		return strconv.FormatFloat(math.Round(m*1e4)/10, 'f', -1, 64) + " mm"
	case m == 0:
		return "0 m"
	}
	x, _ := strconv.ParseFloat(strconv.FormatFloat(m*1e3, 'g', 2, 64), 64)
	return decimalText(x, 0) + " mm"
}

func imperialLength(in float64) string {
	switch halves := math.Round(in * 2); {
	case halves >= 24:
		feet := math.Floor(halves / 24)
		text := decimalText(feet, 0) + " ft"
		if rest := halves - 24*feet; rest > 0 {
			text += " " + inches(rest/2, 2) + " in"
		}
		return text
	case in >= 0.5:
		return inches(in, 8) + " in"
	case in == 0:
		return "0 in"
	case in >= 0.01:
		return strconv.FormatFloat(math.Round(in*100)/100, 'f', -1, 64) + " in"
	}
	x, _ := strconv.ParseFloat(strconv.FormatFloat(in, 'g', 1, 64), 64)
	return decimalText(x, 0) + " in"
}

// inches writes x to the nearest 1/parts in lowest terms, "1 3/8".
func inches(x float64, parts int) string {
	n := int(math.Round(x * float64(parts)))
	whole, over := n/parts, n%parts
	if over == 0 {
		return strconv.Itoa(whole)
	}
	under := parts
	for over%2 == 0 {
		over, under = over/2, under/2
	}
	text := fmt.Sprintf("%d/%d", over, under)
	if whole > 0 {
		text = strconv.Itoa(whole) + " " + text
	}
	return text
}

// Mass writes m: to 0.1 kg or 10 g, or to 0.1 lb or a tenth of an ounce.
func (s System) Mass(m Mass) string {
	const pound = 0.45359237 // kg, international pound, 1959
	v := float64(m)
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return masses.show(v)
	case s == Imperial && v >= pound*0.9997:
		return strconv.FormatFloat(math.Round(v/pound*10)/10, 'f', -1, 64) + " lb"
	case s == Imperial:
		return strconv.FormatFloat(math.Round(v/pound*160)/10, 'f', -1, 64) + " oz"
	case v >= 0.995:
		return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) + " kg"
	}
	return strconv.FormatFloat(math.Round(v*100)*10, 'f', -1, 64) + " g"
}

// Focal writes a focal length, which photographers give in millimetres in either system.
func (l Length) Focal() string {
	return lengths.write(float64(l), lengthMeasures[2])
}
