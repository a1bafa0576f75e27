package unit

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"

	"falloff/model/source/spell"
)

// A quantity is how one kind of value is written: its units, its bounds, and the words
// and examples that an error uses.
type quantity struct {
	name     string // "a length"
	example  string // "1.2 m or 4 ft 6 in"
	measures []measure
	lo, hi   float64 // allowed values, in the stored unit
	positive bool    // 0 is refused as well

	prefix     string // "f/" or "ISO "
	needPrefix bool
	bare       bool // a plain number is a value
	compound   bool // "4 ft 6 in"
	signed     bool // printed with its sign, "+0.3"

	// form writes a value in its own way; nil is number and unit.
	form func(v float64, exact bool) string
	// pick chooses the measure that a value prints in; nil means the first.
	pick func(v float64) int
	// A computed value (more than six digits) is shown to this many decimals of its
	// printed unit, or, when negative, to that many significant digits.
	decimals int
}

// A measure is one unit: stored value = number * 10^shift * times / over. A power of ten
// stays a shift of the decimal text, so that 0.3 mm is the float64 nearest to 0.0003.
type measure struct {
	names       []string // the first is printed
	shift       int
	times, over float64 // 0 means 1
}

// longest bounds the work on a text; nothing that we print is longer.
const longest = 96

// written is the number of digits up to which a value is taken to be one that somebody
// wrote, and is shown as it stands.
const written = 6

var (
	errNoNumber = errors.New("no number")
	errNoUnit   = errors.New("no unit")
)

// read parses text into *p and leaves *p alone on error.
func read[T ~float64](q *quantity, text []byte, p *T) error {
	v, err := q.parse(string(text))
	if err != nil {
		return err
	}
	*p = T(v)
	return nil
}

func (q *quantity) parse(text string) (float64, error) { return q.parseNear(text, "") }

// parseNear parses text; a number without a unit takes the unit of its neighbour ("-1"
// in "-1..+0.5 stops").
func (q *quantity) parseNear(text, neighbour string) (float64, error) {
	v, err := q.sum(text, neighbour)
	switch {
	case errors.Is(err, errNoNumber):
		return 0, q.errorf(text, "this is not %s; write one as in %s", q.name, q.example)
	case errors.Is(err, errNoUnit):
		return 0, q.errorf(text, "%s needs a unit, as in %s", q.name, q.example)
	case err != nil:
		return 0, q.errorf(text, "%v", err)
	}
	if err := q.allow(v); err != nil {
		return 0, q.errorf(text, "%v", err)
	}
	return v + 0, nil // -0 becomes 0
}

func (q *quantity) errorf(text, format string, args ...any) error {
	text = strings.TrimSpace(text)
	if text == "" {
		return fmt.Errorf("no value; write %s as in %s", q.name, q.example)
	}
	return fmt.Errorf("%s: %s", quote(text), fmt.Sprintf(format, args...))
}

// quote shortens what a user wrote and keeps control characters off the terminal.
func quote(text string) string {
	const room = 40
	if r := []rune(text); len(r) > room {
		text = string(r[:room]) + "..."
	}
	return strconv.Quote(text)
}

// allow refuses a value outside the bounds.
func (q *quantity) allow(v float64) error {
	if q.lo <= v && v <= q.hi && !(q.positive && v == 0) {
		return nil
	}
	if q.positive {
		return fmt.Errorf("%s is above 0 and at most %s", q.name, q.text(q.hi))
	}
	return fmt.Errorf("%s lies between %s and %s", q.name, q.text(q.lo), q.text(q.hi))
}

// sum adds up the parts of a text, one for most and "4 ft 6 in" for a compound.
func (q *quantity) sum(text, neighbour string) (float64, error) {
	if len(text) > longest {
		return 0, fmt.Errorf("too long for %s, which is written as in %s", q.name, q.example)
	}
	rest := strings.TrimSpace(strings.ReplaceAll(text, "\u2212", "-"))
	rest, err := q.cutPrefix(rest)
	if err != nil {
		return 0, err
	}
	total, last, sign := 0.0, math.Inf(1), 1.0 // "-4 ft 6 in": one sign for all
	for first := true; first || rest != ""; first = false {
		n, after, ok := scanNumber(rest)
		if !ok || n.signed && !first {
			return 0, errNoNumber
		}
		if n.zeroDivisor() {
			return 0, errors.New("a fraction over 0 has no value")
		}
		if strings.HasPrefix(after, ",") {
			return 0, fmt.Errorf("write decimals with a point, as in %s", q.example)
		}
		m, name, after, err := q.scanMeasure(after, neighbour)
		if err != nil {
			return 0, err
		}
		if !first && (!q.compound || m.size() >= last) {
			return 0, fmt.Errorf("%q does not follow; write %s as in %s", name, q.name, q.example)
		}
		part, err := n.in(m)
		if err != nil {
			return 0, err
		}
		if n.negative {
			sign = -1
		}
		total, last, rest = total+part, m.size(), after
	}
	return sign * total, nil
}

func (q *quantity) cutPrefix(text string) (string, error) {
	if q.prefix == "" {
		return text, nil
	}
	for _, p := range []string{q.prefix, strings.TrimRight(q.prefix, " /")} {
		if len(text) >= len(p) && strings.EqualFold(text[:len(p)], p) {
			return strings.TrimSpace(text[len(p):]), nil
		}
	}
	if q.needPrefix {
		return "", errNoNumber
	}
	return text, nil
}

// scanMeasure reads a unit off the front of s.
func (q *quantity) scanMeasure(s, neighbour string) (m measure, name, rest string, err error) {
	name, rest = scanName(strings.TrimSpace(s))
	if name == "" {
		if neighbour != "" {
			name = neighbour
		} else if q.bare {
			return measure{}, "", rest, nil
		} else {
			return m, "", "", errNoUnit
		}
	}
	if m, ok := q.find(name); ok {
		return m, name, strings.TrimSpace(rest), nil
	}
	if i := strings.IndexAny(name, "0123456789"); i > 0 { // "4ft6in"
		if m, ok := q.find(name[:i]); ok {
			return m, name[:i], name[i:] + rest, nil
		}
	}
	return m, name, "", q.unknown(name)
}

// scanName takes everything up to a space; feet and inch marks stand by themselves.
func scanName(s string) (name, rest string) {
	if s != "" && (s[0] == '\'' || s[0] == '"') {
		return s[:1], s[1:]
	}
	if i := strings.IndexAny(s, " \t\r\n'\""); i >= 0 {
		return s[:i], s[i:]
	}
	return s, ""
}

func (q *quantity) find(name string) (measure, bool) {
	for _, same := range []func(a, b string) bool{func(a, b string) bool { return a == b }, strings.EqualFold} {
		for _, m := range q.measures {
			for _, n := range m.names {
				if same(n, name) {
					return m, true
				}
			}
		}
	}
	return measure{}, false
}

// unknown words the error for a unit that q does not have: one of another quantity, a
// slip of the keyboard, or a list of what there is.
func (q *quantity) unknown(name string) error {
	if len(q.measures) == 0 {
		return fmt.Errorf("%s is written without a unit, as in %s", q.name, q.example)
	}
	for _, other := range quantities {
		for _, m := range other.measures {
			for _, n := range m.names {
				if n == name {
					return fmt.Errorf("%q is a unit of %s; %s is written as in %s", name, strings.TrimPrefix(strings.TrimPrefix(other.name, "an "), "a "), q.name, q.example)
				}
			}
		}
	}
	var all, first []string
	for _, m := range q.measures {
		all = append(all, m.names...)
		first = append(first, m.names[0])
	}
	if near, ok := spell.Nearest(name, all); ok {
		return fmt.Errorf("unknown unit %s; did you mean %q?", quote(name), near)
	}
	return fmt.Errorf("unknown unit %s; %s is written in %s, as in %s", quote(name), q.name, strings.Join(first, ", "), q.example)
}

func (m measure) size() float64 { return math.Pow10(m.shift) * or1(m.times) / or1(m.over) }

func or1(x float64) float64 {
	if x == 0 {
		return 1
	}
	return x
}

// A number is a decimal, or a fraction with or without a whole part ("1/160", "1 3/8").
type number struct {
	negative, signed   bool
	whole, over, under decimal
	fraction           bool
}

type decimal struct {
	digits string // "12.5"
	exp    int
}

func (d decimal) float(shift int) float64 {
	v, _ := strconv.ParseFloat(d.digits+"e"+strconv.Itoa(d.exp+shift), 64) // out of range: Inf or 0
	return v
}

func (d decimal) significant() int {
	return len(strings.TrimLeft(strings.Replace(d.digits, ".", "", 1), "0"))
}

func (n number) zeroDivisor() bool { return n.fraction && n.under.float(0) == 0 }

// in returns the stored value of n in a measure, without its sign.
func (n number) in(m measure) (float64, error) {
	var v float64
	switch {
	case n.fraction:
		v = n.over.float(0) / n.under.float(0)
		if n.whole.digits != "" {
			v += n.whole.float(0)
		}
		v = v * or1(m.times) / or1(m.over) * math.Pow10(m.shift)
	case m.times == float64(Degree) && n.whole.significant() > 15:
		v = fineDegrees(n.whole)
	default:
		v = n.whole.float(m.shift) * or1(m.times) / or1(m.over)
	}
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, errors.New("the number is too large")
	}
	return v, nil
}

// scanNumber reads a number off the front of s.
func scanNumber(s string) (n number, rest string, ok bool) {
	rest = s
	if rest != "" && (rest[0] == '+' || rest[0] == '-') {
		n.signed, n.negative = true, rest[0] == '-'
		rest = strings.TrimLeft(rest[1:], " ")
	}
	d, rest, ok := scanDecimal(rest)
	if !ok {
		return n, s, false
	}
	if under, after, ok := scanUnder(rest); ok {
		n.fraction, n.over, n.under = true, d, under
		return n, after, true
	}
	n.whole = d
	if over, after, ok := scanDecimal(strings.TrimLeft(rest, " ")); ok && strings.HasPrefix(rest, " ") {
		if under, after, ok := scanUnder(after); ok {
			n.fraction, n.over, n.under, rest = true, over, under, after
		}
	}
	return n, rest, true
}

// scanUnder reads "/ decimal".
func scanUnder(s string) (d decimal, rest string, ok bool) {
	s, ok = strings.CutPrefix(strings.TrimLeft(s, " "), "/")
	if !ok {
		return d, s, false
	}
	return scanDecimal(strings.TrimLeft(s, " "))
}

func scanDecimal(s string) (d decimal, rest string, ok bool) {
	i := digitsEnd(s, 0)
	end := i
	if i < len(s) && s[i] == '.' {
		if j := digitsEnd(s, i+1); j > i+1 {
			end = j
		}
	}
	if end == 0 {
		return d, s, false
	}
	d.digits = s[:end]
	if end+1 < len(s) && (s[end] == 'e' || s[end] == 'E') {
		j := end + 1
		if s[j] == '+' || s[j] == '-' {
			j++
		}
		if k := digitsEnd(s, j); k > j && k-j <= 3 {
			d.exp, _ = strconv.Atoi(s[end+1 : k])
			end = k
		}
	}
	return d, s[end:], true
}

func digitsEnd(s string, i int) int {
	for i < len(s) && '0' <= s[i] && s[i] <= '9' {
		i++
	}
	return i
}

// text writes v so that parse gives the same v.
func (q *quantity) text(v float64) string {
	if q.form != nil {
		return q.form(v, true)
	}
	return q.write(v, q.measure(v))
}

// show writes v for people: as it stands if somebody wrote it, else rounded.
func (q *quantity) show(v float64) string {
	if q.form != nil {
		return q.form(v, false)
	}
	return q.text(q.rounded(v))
}

// marshal is text for a file: it refuses what could not be read again.
func (q *quantity) marshal(v float64) ([]byte, error) {
	if err := q.allow(v); err != nil {
		return nil, fmt.Errorf("cannot write %v: %w", v, err)
	}
	return []byte(q.text(v)), nil
}

func (q *quantity) measure(v float64) measure {
	switch {
	case len(q.measures) == 0:
		return measure{}
	case q.pick != nil:
		return q.measures[q.pick(math.Abs(v))]
	}
	return q.measures[0]
}

func (q *quantity) write(v float64, m measure) string {
	return q.prefix + q.bareText(v, m) + q.suffix(v, m)
}

func (q *quantity) bareText(v float64, m measure) string {
	var s string
	switch {
	case math.IsNaN(v):
		return "unknown"
	case math.IsInf(v, 1):
		return "infinite"
	case math.IsInf(v, -1):
		return "-infinite"
	case m.times == float64(Degree):
		s = degreeText(v)
	case m.times == 0 && m.over == 0:
		s = decimalText(v, m.shift)
	default:
		s = decimalText(v/or1(m.times)*or1(m.over), m.shift)
	}
	if q.signed && v > 0 {
		s = "+" + s
	}
	return s
}

func (q *quantity) suffix(v float64, m measure) string {
	if len(m.names) == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	if name := m.names[0]; name != "stops" || math.Abs(v) != 1 {
		return " " + name
	}
	return " stop"
}

// rounded returns v, or, when it takes more than six digits to write, v rounded to the
// places that are worth reading.
func (q *quantity) rounded(v float64) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	m := q.measure(v)
	s := q.bareText(v, m)
	mantissa, _, _ := strings.Cut(s, "e")
	if d := (decimal{digits: strings.TrimLeft(mantissa, "+-")}); d.significant() <= written {
		return v
	}
	x := v / or1(m.times) * or1(m.over) * math.Pow10(-m.shift)
	if q.decimals < 0 {
		s = strconv.FormatFloat(x, 'g', -q.decimals, 64)
	} else {
		s = strconv.FormatFloat(x, 'f', q.decimals, 64)
	}
	n, rest, ok := scanNumber(s)
	if !ok || rest != "" {
		return v
	}
	r, err := n.in(m)
	switch {
	case err != nil:
		return v
	case n.negative && r != 0:
		return -r
	}
	return r
}

// decimalText writes v * 10^-shift with the fewest digits that give v back exactly.
func decimalText(v float64, shift int) string {
	if v == 0 {
		return "0"
	}
	sci := strconv.FormatFloat(math.Abs(v), 'e', -1, 64)
	mantissa, e, _ := strings.Cut(sci, "e")
	exp, _ := strconv.Atoi(e)
	exp -= shift
	digits := strings.Replace(mantissa, ".", "", 1)
	sign := ""
	if v < 0 {
		sign = "-"
	}
	switch {
	case exp < -6 || exp > 15:
		if len(digits) > 1 {
			digits = digits[:1] + "." + digits[1:]
		}
		return sign + digits + "e" + strconv.Itoa(exp)
	case exp < 0:
		return sign + "0." + strings.Repeat("0", -exp-1) + digits
	case len(digits) <= exp+1:
		return sign + digits + strings.Repeat("0", exp+1-len(digits))
	}
	return sign + digits[:exp+1] + "." + digits[exp+1:]
}

// Degrees are not a power of ten of radians. Up to 15 digits "35 deg" is 35 * Degree in
// float64; a longer text, which only a program writes, is multiplied in 160 bits, so that
// every float64 of radians has a text in degrees.
var degree = func() *big.Float {
	pi, _, err := big.ParseFloat("3.14159265358979323846264338327950288419716939937510582097494459", 10, 160, big.ToNearestEven)
	if err != nil {
		panic(err)
	}
	return pi.Quo(pi, big.NewFloat(180))
}()

func fineDegrees(d decimal) float64 {
	x, _, err := big.ParseFloat(d.digits+"e"+strconv.Itoa(d.exp), 10, 160, big.ToNearestEven)
	if err != nil {
		return math.NaN()
	}
	v, _ := x.Mul(x, degree).Float64()
	return v
}

func degreeText(v float64) string {
	x := v / float64(Degree)
	for p := 1; p <= 15; p++ {
		d, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', p, 64), 64)
		if d*float64(Degree) == v {
			return decimalText(d, 0)
		}
	}
	fine := new(big.Float).SetPrec(160).SetFloat64(math.Abs(v))
	fine.Quo(fine, degree)
	s := ""
	for p := 16; p <= 24; p++ {
		s = fine.Text('g', p)
		if n, rest, ok := scanNumber(s); ok && rest == "" && fineDegrees(n.whole) == math.Abs(v) && n.whole.significant() > 15 {
			break
		}
	}
	if v < 0 {
		return "-" + s
	}
	return s
}
