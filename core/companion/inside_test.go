package companion

import (
	"maps"

	"fourchette/core/birth"
)

func init() { maps.Copy(topics, comingTopics()) }

// StateOf is what the records come to, for tests that compare two phones.
func StateOf(c *Companion) birth.State { return c.state }
