package companion

import "fourchette/core/msgpack"

// Ask sends a request of wire.go through Call and decodes the reply into
// answer: a convenience for hosts in Go, which pass the same bytes as every
// other host. The fault is nil when the topic answered.
func (c *Companion) Ask(topic string, request, answer any) *Fault {
	b := c.Call(topic, Encode(request))
	if isFault(b) {
		var said Fault
		if f := DecodeReply(b, &said); f != nil {
			return f
		}
		return &said
	}
	return DecodeReply(b, answer)
}

// isFault: no other reply begins with an error.
func isFault(reply []byte) bool {
	_, rest, _ := msgpack.ReadMap(reply)
	key, _, _ := msgpack.ReadText(rest)
	return string(key) == "error"
}
