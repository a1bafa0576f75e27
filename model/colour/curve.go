package colour

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// ParseCurve reads a gel written as a curve over the wavelength l in nm:
//
//	0.02 + 0.75 gauss(455, 32)              a band at 455 nm
//	0.30 + 0.60 rise(565, 28)               passes the long end from 565 nm on
//	0.85 * (1 - 0.93 gauss(540, 45))        a dip in the green
//
// with gauss(l0, w) = exp(-((l-l0)/w)^2/2), rise(l0, w) = 1/(1+exp(-(l-l0)/w)) and
// fall(l0, w) = 1 - rise(l0, w); numbers, + - * and parentheses; a number before a
// function or a parenthesis multiplies it. Arguments may be named (l0=, w=), sig is
// another name of rise, and a leading "T =" is allowed. Widths run from 3 nm, below
// which 5 nm samples would miss the shape, to 1000 nm. The transmittance must lie
// within 0..1 at every sample. Errors name the column, counted from 1.
func ParseCurve(text string) (Gel, error) {
	if len(text) > maxCurve {
		return Gel{}, fmt.Errorf("a curve is at most %d characters long, this one has %d", maxCurve, len(text))
	}
	p := curveParser{text: text}
	if rest, ok := strings.CutPrefix(strings.TrimLeft(text, " \t"), "T"); ok {
		if rest = strings.TrimLeft(rest, " \t"); strings.HasPrefix(rest, "=") {
			p.pos = len(text) - len(rest) + 1
		}
	}
	if err := p.sum(0); err != nil {
		return Gel{}, err
	}
	if p.skip(); p.pos < len(text) {
		return Gel{}, p.errorf("expected + - * or the end, found %q", text[p.pos])
	}
	g := Gel{T: sample(p.code), text: strings.TrimSpace(text), parts: []curve{p.code}}
	for i, t := range g.T {
		if !(t >= 0 && t <= 1) {
			return Gel{}, fmt.Errorf("transmittance is %.4g at %.0f nm, outside 0 to 1", t, Wavelength(i))
		}
	}
	return g, nil
}

const (
	maxCurve        = 1000 // characters
	maxNesting      = 12   // parentheses within parentheses
	narrow, broad   = 3, 1000
	lowest, highest = 100, 2000 // nm, for a centre
)

// program is a curve in postfix form. Each nesting level leaves at most two operands
// waiting, so the stack below is deep enough for maxNesting.
type program []step

type step struct {
	do   byte // 'n' number, 'g' gauss, 'r' rise, 'f' fall, or + - *
	a, b float64
}

func (c program) at(nm float64) float64 {
	var stack [2*maxNesting + 4]float64
	n := 0
	for _, s := range c {
		var x float64
		switch s.do {
		case 'n':
			x = s.a
		case 'g':
			d := (nm - s.a) / s.b
			x = math.Exp(-d * d / 2)
		case 'r':
			x = 1 / (1 + math.Exp(-(nm-s.a)/s.b))
		case 'f':
			x = 1 / (1 + math.Exp((nm-s.a)/s.b))
		default:
			n--
			switch s.do {
			case '+':
				stack[n-1] += stack[n]
			case '-':
				stack[n-1] -= stack[n]
			case '*':
				stack[n-1] *= stack[n]
			}
			continue
		}
		stack[n] = x
		n++
	}
	return stack[0]
}

type curveParser struct {
	text string
	pos  int
	code program
}

func (p *curveParser) errorf(format string, args ...any) error {
	return fmt.Errorf("curve, column %d: %s", p.pos+1, fmt.Sprintf(format, args...))
}

func (p *curveParser) skip() {
	for p.pos < len(p.text) && strings.IndexByte(" \t\r\n", p.text[p.pos]) >= 0 {
		p.pos++
	}
}

// peek returns the next character that is not a space, or 0 at the end.
func (p *curveParser) peek() byte {
	if p.skip(); p.pos < len(p.text) {
		return p.text[p.pos]
	}
	return 0
}

func (p *curveParser) emit(do byte) { p.code = append(p.code, step{do: do}) }

// sum = [-] product { (+|-) product }
func (p *curveParser) sum(depth int) error {
	if depth > maxNesting {
		return p.errorf("parentheses nest deeper than %d", maxNesting)
	}
	switch p.peek() {
	case '-':
		p.pos++
		p.code = append(p.code, step{do: 'n'})
		if err := p.product(depth); err != nil {
			return err
		}
		p.emit('-')
	case '+':
		p.pos++
		fallthrough
	default:
		if err := p.product(depth); err != nil {
			return err
		}
	}
	for {
		op := p.peek()
		if op != '+' && op != '-' {
			return nil
		}
		p.pos++
		if err := p.product(depth); err != nil {
			return err
		}
		p.emit(op)
	}
}

// product = factor { [*] factor }, where a factor without * before it is a function or
// a parenthesis.
func (p *curveParser) product(depth int) error {
	if err := p.factor(depth); err != nil {
		return err
	}
	for {
		switch c := p.peek(); {
		case c == '*':
			p.pos++
		case c == '(' || isLetter(c):
		default:
			return nil
		}
		if err := p.factor(depth); err != nil {
			return err
		}
		p.emit('*')
	}
}

// factor = number | function | ( sum )
func (p *curveParser) factor(depth int) error {
	switch c := p.peek(); {
	case c == '(':
		p.pos++
		if err := p.sum(depth + 1); err != nil {
			return err
		}
		return p.expect(')')
	case isDigit(c):
		x, err := p.number()
		p.code = append(p.code, step{do: 'n', a: x})
		return err
	case isLetter(c):
		return p.function()
	case c == 0:
		return p.errorf("expected a number, a function or (, found the end")
	default:
		return p.errorf("expected a number, a function or (, found %q", c)
	}
}

func (p *curveParser) expect(c byte) error {
	switch found := p.peek(); found {
	case c:
		p.pos++
		return nil
	case 0:
		return p.errorf("expected %q, found the end", c)
	default:
		return p.errorf("expected %q, found %q", c, found)
	}
}

func (p *curveParser) function() error {
	start := p.pos
	name := p.word()
	do, ok := map[string]byte{"gauss": 'g', "rise": 'r', "sig": 'r', "fall": 'f'}[name]
	if !ok {
		p.pos = start
		return p.errorf("no function %q; there are gauss, rise and fall", name)
	}
	if err := p.expect('('); err != nil {
		return err
	}
	centre, err := p.argument("l0", lowest, highest)
	if err != nil {
		return err
	}
	if err := p.expect(','); err != nil {
		return err
	}
	width, err := p.argument("w", narrow, broad)
	if err != nil {
		return err
	}
	p.code = append(p.code, step{do, centre, width})
	return p.expect(')')
}

// argument = [name =] number
func (p *curveParser) argument(name string, lo, hi float64) (float64, error) {
	if isLetter(p.peek()) {
		start := p.pos
		if got := p.word(); got != name {
			p.pos = start
			return 0, p.errorf("expected %s in nm, found %q", name, got)
		}
		if err := p.expect('='); err != nil {
			return 0, err
		}
	}
	if c := p.peek(); !isDigit(c) {
		return 0, p.errorf("expected %s in nm, a number from %g to %g", name, lo, hi)
	}
	start := p.pos
	x, err := p.number()
	if err == nil && !(x >= lo && x <= hi) {
		p.pos = start
		return 0, p.errorf("%s is %g nm, outside %g to %g nm", name, x, lo, hi)
	}
	return x, err
}

func (p *curveParser) word() string {
	start := p.pos
	for p.pos < len(p.text) && (isLetter(p.text[p.pos]) || p.pos > start && isDigit(p.text[p.pos])) {
		p.pos++
	}
	return p.text[start:p.pos]
}

// number reads digits with at most one point; exponents are not in the language.
func (p *curveParser) number() (float64, error) {
	start := p.pos
	for p.pos < len(p.text) && isDigit(p.text[p.pos]) {
		p.pos++
	}
	x, err := strconv.ParseFloat(p.text[start:p.pos], 64)
	if err != nil {
		bad := p.text[start:p.pos]
		p.pos = start
		return 0, p.errorf("%q is not a number", bad)
	}
	return x, nil
}

func isDigit(c byte) bool  { return c >= '0' && c <= '9' || c == '.' }
func isLetter(c byte) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }
