// Package unit holds the quantities that a photographer writes down, each as a
// type of its own: swapped arguments do not compile. Stored in SI units; f-numbers,
// shutter speeds and ISO are stored as marked, with the true value a method away.
package unit

import (
	"encoding"
	"math"
)

type (
	Length      float64 // metres, 0 or more
	Offset      float64 // metres along an axis, either sign
	Area        float64 // square metres
	Angle       float64 // radians
	Time        float64 // seconds
	Mass        float64 // kilograms
	Stops       float64 // log2 of a ratio of light; positive is brighter
	Energy      float64 // watt-seconds (joules) of flash
	Power       float64 // watts, electrical
	Flux        float64 // lumens
	Illuminance float64 // lux
	Efficacy    float64 // lumens per watt, or lumen-seconds per watt-second
	Kelvin      float64 // correlated colour temperature
	Mired       float64 // 10^6 / kelvin; a shift is positive toward warm
	Share       float64 // a fraction 0..1, written "40 %"
	Money       float64 // in the studio's own currency
	Minutes     float64 // handling time
)

// FNumber is a focal ratio as engraved or dialled. See True.
type FNumber float64

// ISO is an exposure index as dialled. See True.
type ISO float64

// Shutter is an exposure time in seconds as dialled: 1/160 s is 0.00625. See True.
type Shutter float64

const (
	Millimetre Length = 1e-3
	Metre      Length = 1
	Inch       Length = 0.0254
	Foot       Length = 0.3048
	Degree     Angle  = math.Pi / 180
)

func (l Length) Millimetres() float64 { return float64(l) * 1e3 }
func (a Angle) Degrees() float64      { return float64(a) * (180 / math.Pi) }
func (a Angle) Radians() float64      { return float64(a) }

// Linear returns the ratio of light that s stands for, 2^s.
func (s Stops) Linear() float64 { return math.Exp2(float64(s)) }

// StopsOf returns log2 of a ratio of light; the ratio is non-negative, and 0 gives -Inf.
func StopsOf(ratio float64) Stops { return Stops(math.Log2(ratio)) }

// Mired returns 10^6 / k.
func (k Kelvin) Mired() Mired { return Mired(1e6 / float64(k)) }

// Kelvin returns the colour temperature of an absolute mired value.
func (m Mired) Kelvin() Kelvin { return Kelvin(1e6 / float64(m)) }

// Shifted returns the colour temperature after a filter of a mired shift.
func (k Kelvin) Shifted(by Mired) Kelvin { return (k.Mired() + by).Kelvin() }

// Parse reads a value of one of the types of this package: Parse[Length]("1.2 m").
func Parse[T any, P interface {
	*T
	encoding.TextUnmarshaler
}](text string) (T, error) {
	var v T
	err := P(&v).UnmarshalText([]byte(text))
	return v, err
}
