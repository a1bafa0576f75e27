package layer

import "flag"

// Random tests draw the same each time, unless -rapid.seed says otherwise.
var _ = flag.Set("rapid.seed", "1")
