package companion

import "fourchette/core/birth"

// StateOf is what the records come to, for tests that compare two phones.
func StateOf(c *Companion) birth.State { return c.state }
