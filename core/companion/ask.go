package companion

import "github.com/tinylib/msgp/msgp"

// Ask sends a request of wire.go through Call and decodes the reply into
// answer: a convenience for hosts in Go, which pass the same bytes as every
// other host. The fault is nil when the topic answered.
func (c *Companion) Ask(topic string, request, answer any) *Fault {
	b := c.Call(topic, Encode(request))
	if len(msgp.Locate("error", b)) > 0 {
		var said Fault
		if f := DecodeReply(b, &said); f != nil {
			return f
		}
		return &said
	}
	return DecodeReply(b, answer)
}
