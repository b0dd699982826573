package companion

import "github.com/tinylib/msgp/msgp"

// Ask sends a typed request through Call and decodes the reply into answer: a
// convenience for hosts in Go, which pass the same bytes as every other host.
// The fault is nil when the topic answered.
func (c *Companion) Ask(topic string, request msgp.Marshaler, answer msgp.Unmarshaler) *Fault {
	b, err := request.MarshalMsg(nil)
	if err != nil {
		return &Fault{Code: FaultInternal, Field: topic, Detail: err.Error()}
	}
	b = c.Call(topic, b)
	if len(msgp.Locate("error", b)) > 0 {
		f := &Fault{}
		if _, err := f.UnmarshalMsg(b); err != nil {
			return &Fault{Code: FaultInternal, Field: topic, Detail: err.Error()}
		}
		return f
	}
	if _, err := answer.UnmarshalMsg(b); err != nil {
		return &Fault{Code: FaultInternal, Field: topic, Detail: err.Error()}
	}
	return nil
}
