package mobile

import (
	"fmt"
	"runtime/debug"

	"fourchette/core/companion"
)

// A panic that crosses the binding ends the whole application, so each
// exported function ends it here. The core has its own guard; these stand
// round what lies between the core and the binding.

// answered turns a panic into an error reply. It is deferred.
func answered(topic string, reply *[]byte) {
	if p := recover(); p != nil {
		*reply = fault(companion.FaultInternal, topic, said(p))
	}
}

// caught turns a panic into an error. It is deferred.
func caught(err *error) {
	if p := recover(); p != nil {
		*err = fmt.Errorf("a fault of this program was caught; close it and open it again: %s", said(p))
	}
}

// said is what a panic said and where, short enough for a log.
func said(p any) string {
	const most = 2000
	stack := debug.Stack()
	return fmt.Sprintf("%v\n%s", p, stack[:min(len(stack), most)])
}

// fault is an error reply.
func fault(code, field, detail string) []byte {
	return companion.Encode(&companion.Fault{Code: code, Field: field, Detail: detail})
}
