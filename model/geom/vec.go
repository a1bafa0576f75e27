// Package geom holds the plain geometry of a room. Room frame: metres, origin on the
// floor under the sitter's eyes, X to camera right, Y toward the camera, Z up.
// Azimuth 0 is toward the camera, positive to camera right; elevation is above level.
package geom

import "math"

type Vec struct{ X, Y, Z float64 }

func (a Vec) Add(b Vec) Vec             { return Vec{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }
func (a Vec) Sub(b Vec) Vec             { return Vec{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }
func (a Vec) Mul(k float64) Vec         { return Vec{a.X * k, a.Y * k, a.Z * k} }
func (a Vec) Neg() Vec                  { return Vec{-a.X, -a.Y, -a.Z} }
func (a Vec) Dot(b Vec) float64         { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }
func (a Vec) Cross(b Vec) Vec           { return Vec{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X} }
func (a Vec) Len() float64              { return math.Sqrt(a.Dot(a)) }
func (a Vec) Unit() Vec                 { return a.Mul(1 / a.Len()) }
func (a Vec) Angle(b Vec) float64       { return math.Atan2(a.Cross(b).Len(), a.Dot(b)) }
func (a Vec) Lerp(b Vec, t float64) Vec { return a.Add(b.Sub(a).Mul(t)) }

// Polar returns the unit vector of an azimuth and an elevation, in radians.
func Polar(az, el float64) Vec {
	ca, sa, ce, se := math.Cos(az), math.Sin(az), math.Cos(el), math.Sin(el)
	return Vec{sa * ce, ca * ce, se}
}

// AzEl is the inverse of Polar for any non-zero vector.
func (a Vec) AzEl() (az, el float64) {
	return math.Atan2(a.X, a.Y), math.Atan2(a.Z, math.Hypot(a.X, a.Y))
}

// Axes returns the face axes of a flat source whose front normal is n: u is level (to
// the right as seen from in front of the face), v completes u x v = n. For a normal
// straight up or down u is X.
func Axes(n Vec) (u, v Vec) {
	h := math.Hypot(n.X, n.Y)
	if h < 1e-9 {
		u = Vec{1, 0, 0}
	} else {
		u = Vec{-n.Y / h, n.X / h, 0}
	}
	return u, n.Cross(u)
}
