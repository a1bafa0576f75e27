package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"falloff/constraints"
	"falloff/model/unit"
)

func itoa(n int) string { return strconv.Itoa(n) }

// tape is a length as a tape measure gives it.
func (st Style) tape(l unit.Length) string { return st.Units.Length(l) }

// positive turns -0 into 0.
func positive(x float64) float64 { return x + 0 }

func degrees(a unit.Angle) string {
	return fmt.Sprintf("%.0f", positive(math.Round(a.Degrees()))) + nb + "deg"
}

// stops is an amount of light with one decimal and no sign.
func stops(s float64) string {
	s = math.Abs(math.Round(s*10) / 10)
	if s == 1 {
		return "1.0" + nb + "stop"
	}
	if s < 1 {
		return fmt.Sprintf("%.1f", s) + nb + "stop"
	}
	return fmt.Sprintf("%.1f", s) + nb + "stops"
}

// lux keeps three figures: no meter on a stand is read closer.
func lux(e unit.Illuminance) string {
	x := float64(e)
	if x <= 0 || math.IsInf(x, 0) || math.IsNaN(x) {
		return "0" + nb + "lx"
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-2)
	x = math.Round(x/step) * step
	if x >= 100 {
		return fmt.Sprintf("%.0f", x) + nb + "lx"
	}
	return strconv.FormatFloat(x, 'g', 3, 64) + nb + "lx"
}

func minutes(m float64) string { return fmt.Sprintf("%.0f", math.Ceil(m-1e-9)) + nb + "min" }

func share(x float64) string { return fmt.Sprintf("%.0f", x*100) + nb + "%" }

// amount is a number of a goal in the goal's own unit, without a sign unless it is negative.
func (st Style) amount(x float64, u constraints.Unit) string {
	if math.IsInf(x, 0) || math.IsNaN(x) || math.Abs(x) > 1e200 {
		return "no limit"
	}
	sign := ""
	if x < 0 {
		sign = "-"
	}
	switch u {
	case constraints.InStops, constraints.InStep:
		return sign + stops(x)
	case constraints.InDegrees:
		return fmt.Sprintf("%.0f", positive(math.Round(x))) + nb + "deg"
	case constraints.InMetres:
		return st.tape(unit.Length(x))
	case constraints.InMM:
		return sign + st.tape(unit.Length(math.Abs(x)/1000))
	case constraints.InShare:
		return share(x)
	case constraints.InMinutes:
		return fmt.Sprintf("%.0f", x) + nb + "min"
	case constraints.InKelvin:
		return fmt.Sprintf("%.0f", x) + nb + "K"
	case constraints.InMired:
		return fmt.Sprintf("%.0f", x) + nb + "mired"
	case constraints.InRatio:
		return fmt.Sprintf("%.1f:1", x)
	case constraints.InISO:
		return unit.ISO(x).String()
	case constraints.InSeconds:
		return sign + unit.Shutter(math.Abs(x)).String()
	case constraints.InFNumber:
		return unit.FNumber(math.Round(x*10) / 10).String()
	case constraints.InDiscs, constraints.InMoney:
		return strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64) + nb + string(u)
	case constraints.InWait:
		return fmt.Sprintf("%.1f", x) + nb + "s"
	}
	return strconv.FormatFloat(math.Round(x*10)/10, 'f', -1, 64)
}

// gap is a margin in words' size: a difference, so f-numbers and ISO lose their prefix.
func (st Style) gap(x float64, u constraints.Unit) string {
	switch u {
	case constraints.InFNumber, constraints.InRatio:
		return strconv.FormatFloat(math.Round(math.Abs(x)*10)/10, 'f', -1, 64)
	case constraints.InISO:
		return fmt.Sprintf("%.0f", math.Abs(x))
	case constraints.InDegrees, constraints.InShare, constraints.InMetres:
		if x = math.Abs(x); x < st.smallest(u) && x > 0 {
			return "under " + st.amount(st.smallest(u), u)
		}
		return st.amount(x, u)
	}
	return st.amount(math.Abs(x), u)
}

// smallest is the finest step in which a margin of this unit is printed.
func (st Style) smallest(u constraints.Unit) float64 {
	switch u {
	case constraints.InDegrees:
		return 1
	case constraints.InShare, constraints.InMetres:
		return 0.01
	}
	return 0
}

// capital makes the first letter of a sentence upper case.
func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// stopped ends a sentence with a full stop.
func stopped(s string) string {
	s = strings.TrimSpace(s)
	if s == "" || strings.HasSuffix(s, ".") || strings.HasSuffix(s, "!") || strings.HasSuffix(s, "?") || strings.HasSuffix(s, ":") {
		return s
	}
	return s + "."
}

// list joins words: "a", "a and b", "a, b and c".
func list(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}

func oneDecimal(x float64) string {
	if math.IsNaN(x) || math.Abs(x) > 99 {
		return "-"
	}
	return fmt.Sprintf("%.1f", positive(math.Round(x*10)/10))
}
