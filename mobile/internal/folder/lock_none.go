//go:build !unix && jvmtest

package folder

import "os"

// lock locks nothing: under Node.js there is no lock, and only tests keep
// records there, one writer at a time.
func lock(*os.File) error { return nil }
