package unit

import "math"

// Long is the longer side, Short the other.
func (s Size) Long() Length  { return max(s.W, s.H) }
func (s Size) Short() Length { return min(s.W, s.H) }

// Diagonal of a rectangle of that size.
func (s Size) Diagonal() Length { return Length(math.Hypot(float64(s.W), float64(s.H))) }
