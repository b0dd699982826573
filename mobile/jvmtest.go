//go:build jvmtest

package mobile

import "runtime"

// What only the tests and measurements on a plain JVM are given. No
// application is built with this tag.

// Panicking is a Core whose every call panics, to see that no panic crosses.
func Panicking() *Core { return &Core{core: panicking{}} }

type panicking struct{}

func (panicking) Call(string, []byte) []byte { panic("this call panics on purpose") }
func (panicking) Close() error               { panic("this close panics on purpose") }

// Mallocs counts the objects that Go has allocated since the library was
// loaded.
func Mallocs() int64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.Mallocs)
}
