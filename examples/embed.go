// Package examples holds invented studios and briefs that falloff can run with no file of the
// user's own.
package examples

import "embed"

// FS holds studios/*.yaml and briefs: briefs/*.yaml to begin with, conflicts/*.yaml that cannot be
// met, each for another reason, wishes/*.yaml that show one wish each, and looks/*.yaml to start from.
// Of sets at which a shoot came to a halt it holds stalls/*.yaml, with what unstick says of each in
// stalls/*.txt.
//
//go:embed studios/*.yaml briefs/*.yaml conflicts/*.yaml wishes/*.yaml looks/*.yaml stalls
var FS embed.FS
