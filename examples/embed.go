// Package examples holds invented studios and briefs that falloff can run with no file of the
// user's own.
package examples

import "embed"

// FS holds studios/*.yaml, briefs/*.yaml and, of sets at which a shoot came to a halt,
// stalls/*.yaml, with what unstick says of each in stalls/*.txt.
//
//go:embed studios/*.yaml briefs/*.yaml stalls
var FS embed.FS
