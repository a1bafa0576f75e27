package unit

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Dial is a head's power setting in stops below full, 0 or less. It reads and writes
// fractions with tenths up ("1/4 +0.3" is -1.7 stops), and reads percent ("31 %") and
// stops ("-1.7 stops") as well. The lowest setting is -20 stops.
type Dial float64

// Stops returns the setting as a level.
func (d Dial) Stops() Stops { return Stops(d) }

const lowestDial = -20

// String writes the setting as a fraction and tenths.
func (d Dial) String() string { return DialFraction(Stops(d)) }

// MarshalText writes a setting of whole tenths as a fraction, any other in stops.
func (d Dial) MarshalText() ([]byte, error) {
	if err := allowDial(Stops(d)); err != nil {
		return nil, fmt.Errorf("cannot write %v: %w", float64(d), err)
	}
	text := DialFraction(Stops(d))
	if s, err := ParseDial(text); err == nil && Dial(s) == d {
		return []byte(text), nil
	}
	return []byte(stops.text(float64(d))), nil
}

// UnmarshalText reads what ParseDial reads.
func (d *Dial) UnmarshalText(b []byte) error {
	s, err := ParseDial(string(b))
	if err != nil {
		return err
	}
	*d = Dial(s)
	return nil
}

// DialFraction writes a level below full as a dial with marks 1/1, 1/2, 1/4 and tenths
// of a stop up from them: -1.7 stops is "1/4 +0.3". It rounds to a tenth. A level that
// no dial has, above full or below -20 stops, is written in stops.
func DialFraction(s Stops) string {
	tenths := math.Round(10 * float64(s))
	if !(10*lowestDial <= tenths && tenths <= 0) {
		return s.String()
	}
	whole, up := floorDiv(int(tenths), 10)
	text := "1/" + strconv.Itoa(1<<-whole)
	if up > 0 {
		text += fmt.Sprintf(" +0.%d", up)
	}
	return text
}

// DialPercent writes a level below full as a share of full power, to whole percent from
// 10 % up and to two digits below: -1.7 stops is "31 %".
func DialPercent(s Stops) string {
	pct := 100 * s.Linear()
	if pct >= 9.95 {
		return strconv.FormatFloat(pct, 'f', 0, 64) + " %"
	}
	return strconv.FormatFloat(pct, 'g', 2, 64) + " %"
}

// ParseDial reads a power setting: "1/4 +0.3", "full", "31 %" or "-1.7 stops". The
// result is at most 0.
func ParseDial(text string) (Stops, error) {
	trimmed := strings.TrimSpace(text)
	const how = "write a power setting as in 1/4 +0.3, 31 % or -1.7 stops"
	var s Stops
	var err error
	switch {
	case len(trimmed) > longest:
		return 0, errors.New("too long; " + how)
	case trimmed == "":
		return 0, errors.New("no value; " + how)
	case strings.EqualFold(trimmed, "full"):
	case strings.HasSuffix(trimmed, "%"):
		var share Share
		if err = share.UnmarshalText([]byte(trimmed)); err == nil {
			s = StopsOf(float64(share))
		}
	case strings.Contains(trimmed, "1/") && !strings.HasPrefix(trimmed, "-"):
		s, err = parseFraction(trimmed)
	default:
		if err = s.UnmarshalText([]byte(trimmed)); err != nil {
			err = fmt.Errorf("%s: %s", quote(trimmed), how)
		}
	}
	if err != nil {
		return 0, err
	}
	if err := allowDial(s); err != nil {
		return 0, fmt.Errorf("%s: %w", quote(trimmed), err)
	}
	return s, nil
}

func allowDial(s Stops) error {
	if !(lowestDial <= s && s <= 0) {
		return fmt.Errorf("a power setting lies between %d stops and full power", lowestDial)
	}
	return nil
}

// parseFraction reads "1/4", "1/4 +0.3" and "1/4 -0.3".
func parseFraction(text string) (Stops, error) {
	bad := fmt.Errorf("%s: the marks of a dial are 1/1, 1/2, 1/4 and so on, with tenths as in 1/4 +0.3", quote(text))
	rest, ok := strings.CutPrefix(text, "1/")
	if !ok {
		return 0, bad
	}
	end := digitsEnd(rest, 0)
	under, err := strconv.ParseUint(rest[:end], 10, 32)
	if err != nil || under == 0 || under&(under-1) != 0 {
		return 0, bad
	}
	tenths, err := parseTenths(strings.TrimSpace(rest[end:]))
	if err != nil {
		return 0, bad
	}
	// In tenths, so that 1/4 +0.3 is the float64 nearest to -1.7.
	return Stops((tenths - 10*math.Log2(float64(under))) / 10), nil
}

// parseTenths reads "+0.3" as 3; nothing is 0.
func parseTenths(text string) (float64, error) {
	if text == "" {
		return 0, nil
	}
	n, rest, ok := scanNumber(text)
	rest = strings.TrimSpace(rest)
	if !ok || !n.signed || n.fraction || rest != "" && rest != "stop" && rest != "stops" {
		return 0, errNoNumber
	}
	t := n.whole.float(1)
	if !(t < 10) {
		return 0, errNoNumber
	}
	if n.negative {
		t = -t
	}
	return t, nil
}

// floorDiv returns q and r with a = q*b + r and 0 <= r < b.
func floorDiv(a, b int) (q, r int) {
	q, r = a/b, a%b
	if r < 0 {
		q, r = q-1, r+b
	}
	return q, r
}

// MeterReading writes a true f-number as an incident meter shows it: the full-stop mark
// at or below it and tenths of a stop beyond, "f/5.6 and 4 tenths". Readings run from
// f/0.5 to f/128; outside it says "under f/0.5" or "over f/128".
func MeterReading(trueN float64) string {
	mark, tenths, text := meter(trueN)
	switch {
	case text != "":
		return text
	case tenths == 0:
		return mark.String()
	case tenths == 1:
		return mark.String() + " and 1 tenth"
	}
	return fmt.Sprintf("%s and %d tenths", mark, tenths)
}

// MeterShort is MeterReading in a meter's own short form, "f/5.6 .4".
func MeterShort(trueN float64) string {
	mark, tenths, text := meter(trueN)
	if text != "" {
		return text
	}
	return fmt.Sprintf("%s .%d", mark, tenths)
}

func meter(trueN float64) (mark FNumber, tenths int, outside string) {
	tenthsFromOne := math.Round(20 * math.Log2(trueN))
	switch {
	case math.IsNaN(tenthsFromOne):
		return 0, 0, "no reading"
	case tenthsFromOne < -20:
		return 0, 0, "under f/0.5"
	case tenthsFromOne > 140:
		return 0, 0, "over f/128"
	}
	full, tenths := floorDiv(int(tenthsFromOne), 10)
	return FNumberAt(3 * full), tenths, ""
}
