// Package examples holds invented studios and briefs that falloff can run with no file of the
// user's own.
package examples

import "embed"

// FS holds studios/*.yaml and briefs/*.yaml.
//
//go:embed studios/*.yaml briefs/*.yaml
var FS embed.FS
