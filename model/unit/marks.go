package unit

import "math"

// The scales of a camera. The marks stand for powers of two and are rounded where they
// are engraved or shown: N = 2^(k/6), t = 2^(-k/3) s and S = 100 * 2^(k/3), k counting
// third stops (f-numbers: ISO 517; exposure times: ISO 516:2019). An exposure worked out
// from the mark f/11 instead of the true 11.31 is 0.08 stop off.

// Engraved marks in thirds, and the k of the first of each.
var (
	fMarks = []FNumber{0.5, 0.56, 0.63, 0.7, 0.8, 0.9, 1, 1.1, 1.2, 1.4, 1.6, 1.8, 2, 2.2, 2.5, 2.8, 3.2, 3.5, 4, 4.5, 5,
		5.6, 6.3, 7.1, 8, 9, 10, 11, 13, 14, 16, 18, 20, 22, 25, 29, 32, 36, 40, 45, 51, 57, 64, 72, 80, 90, 102, 114, 128}
	shutterMarks = []Shutter{30, 25, 20, 15, 13, 10, 8, 6, 5, 4, 3.2, 2.5, 2, 1.6, 1.3, 1, 0.8, 0.6, 0.5, 0.4, 0.3,
		1. / 4, 1. / 5, 1. / 6, 1. / 8, 1. / 10, 1. / 13, 1. / 15, 1. / 20, 1. / 25, 1. / 30, 1. / 40, 1. / 50, 1. / 60,
		1. / 80, 1. / 100, 1. / 125, 1. / 160, 1. / 200, 1. / 250, 1. / 320, 1. / 400, 1. / 500, 1. / 640, 1. / 800,
		1. / 1000, 1. / 1250, 1. / 1600, 1. / 2000, 1. / 2500, 1. / 3200, 1. / 4000, 1. / 5000, 1. / 6400, 1. / 8000}
	isoMarks = []ISO{25, 32, 40, 50, 64, 80, 100, 125, 160, 200, 250, 320, 400, 500, 640, 800, 1000, 1250, 1600, 2000,
		2500, 3200, 4000, 5000, 6400, 8000, 10000, 12800, 16000, 20000, 25600, 32000, 40000, 51200, 64000, 80000, 102400}
)

const (
	firstF       = -6  // f/0.5
	firstShutter = -15 // 30 s
	firstISO     = -6  // ISO 25
)

// Thirds returns k of the third-stop mark nearest to n; f/1 is 0, f/1.4 is 3.
// n must be above 0.
func (n FNumber) Thirds() int { return int(math.Round(6 * math.Log2(float64(n)))) }

// Thirds returns k of the third-stop mark nearest to t; 1 s is 0, 1/2 s is 3: k grows as
// the time gets shorter. t must be above 0.
func (t Shutter) Thirds() int { return int(math.Round(-3 * math.Log2(float64(t)))) }

// Thirds returns k of the third-stop mark nearest to s; ISO 100 is 0, ISO 200 is 3.
// s must be above 0.
func (s ISO) Thirds() int { return int(math.Round(3 * math.Log2(float64(s)/100))) }

// True returns the f-number that the scale mark n stands for: 11.3137 for f/11. A lens's
// largest aperture is engraved as it is: f/1.2 on a lens name is 1.2, not the 1.26 of the
// scale mark, so use float64(n) for that.
func (n FNumber) True() float64 { return math.Exp2(float64(n.Thirds()) / 6) }

// True returns the time in seconds that the mark t stands for: 1/128 s for 1/125 s.
func (t Shutter) True() float64 { return math.Exp2(-float64(t.Thirds()) / 3) }

// True returns the exposure index that the mark s stands for: 125.99 for ISO 125.
func (s ISO) True() float64 { return 100 * math.Exp2(float64(s.Thirds())/3) }

// FNumberAt returns the mark at k thirds from f/1. Beyond f/0.5 to f/128, where none is
// engraved, it is the true value.
func FNumberAt(k int) FNumber {
	if m, ok := markAt(fMarks, k-firstF); ok {
		return m
	}
	return FNumber(math.Exp2(float64(k) / 6))
}

// ShutterAt returns the mark at k thirds faster than 1 s. Beyond 30 s to 1/8000 s it is
// the true value.
func ShutterAt(k int) Shutter {
	if m, ok := markAt(shutterMarks, k-firstShutter); ok {
		return m
	}
	return Shutter(math.Exp2(-float64(k) / 3))
}

// ISOAt returns the mark at k thirds above ISO 100. Beyond ISO 25 to 102400 it is the
// true value.
func ISOAt(k int) ISO {
	if m, ok := markAt(isoMarks, k-firstISO); ok {
		return m
	}
	return ISO(100 * math.Exp2(float64(k)/3))
}

func markAt[T any](marks []T, i int) (m T, ok bool) {
	if i < 0 || i >= len(marks) {
		return m, false
	}
	return marks[i], true
}

// FStops returns the third-stop marks from f/1 to f/64, widest first.
func FStops() []FNumber {
	var all []FNumber
	for k := FNumber(1).Thirds(); k <= FNumber(64).Thirds(); k++ {
		all = append(all, FNumberAt(k))
	}
	return all
}

// Shutters returns the third-stop marks from 1/8000 s to 30 s, shortest first.
func Shutters() []Shutter {
	var all []Shutter
	for i := len(shutterMarks) - 1; i >= 0; i-- {
		all = append(all, shutterMarks[i])
	}
	return all
}

// ISOs returns the third-stop marks from ISO 50 to ISO 102400, lowest first.
func ISOs() []ISO {
	return append([]ISO(nil), isoMarks[ISO(50).Thirds()-firstISO:]...)
}
