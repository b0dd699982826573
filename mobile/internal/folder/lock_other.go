//go:build !unix && !jvmtest

package folder

import (
	"errors"
	"os"
)

// lock refuses: a folder that cannot be locked could get two writers.
func lock(*os.File) error { return errors.ErrUnsupported }
