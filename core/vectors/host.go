package main

import "fmt"

// A host answers topics: the core in one of the places where it runs.
type host interface {
	// Call answers one request. An error means that the host is gone; a
	// refusal is a reply.
	Call(topic string, request []byte) ([]byte, error)
	// Bench makes the same call n times and says what one costs, measured
	// inside the host.
	Bench(topic string, request []byte, n int) (cost, error)
	Close() error
}

// cost is what one call takes, as the mean of many.
type cost struct {
	nanoseconds float64
	allocations float64 // of Go
}

// openHost starts the host of that name. Unless it is built already, it is
// built first, so that no reply comes from an older program.
func openHost(name string, pack []byte, built bool) (host, error) {
	if name == "native" {
		return openNative(pack)
	}
	program, known := programs[name]
	if !known {
		return nil, fmt.Errorf("there is no host %q: native, wasm or jvm", name)
	}
	if !built {
		if err := program.make(); err != nil {
			return nil, err
		}
	}
	return program.start(pack)
}
