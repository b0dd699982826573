//go:build js && wasm

// Package wait lets Go wait for what a browser does in its own time.
//
// Start with For. It must be called on a goroutine of the program's own: inside
// a callback from JavaScript nothing may wait, or the whole program ends.
package wait

import "syscall/js"

// For waits until a promise is kept and gives its value. A promise that is
// broken gives a js.Error with what it was broken with.
func For(promise js.Value) (js.Value, error) {
	type outcome struct {
		value js.Value
		err   error
	}
	done := make(chan outcome, 1)
	kept := js.FuncOf(func(_ js.Value, args []js.Value) any {
		done <- outcome{value: first(args)}
		return nil
	})
	defer kept.Release()
	broken := js.FuncOf(func(_ js.Value, args []js.Value) any {
		done <- outcome{err: js.Error{Value: first(args)}}
		return nil
	})
	defer broken.Release()
	promise.Call("then", kept, broken)
	o := <-done
	return o.value, o.err
}

func first(args []js.Value) js.Value {
	if len(args) == 0 {
		return js.Undefined()
	}
	return args[0]
}

// Try runs a step that calls JavaScript and gives what it threw, if it threw,
// as a js.Error. A panic of Go's own passes through.
func Try(step func()) (err error) {
	defer func() {
		switch thrown := recover().(type) {
		case nil:
		case js.Error:
			err = thrown
		default:
			panic(thrown)
		}
	}()
	step()
	return nil
}

// Name gives the name of a JavaScript error, such as "QuotaExceededError", or
// "" for any other error.
func Name(err error) string {
	e, ok := err.(js.Error)
	if !ok || e.Value.Type() != js.TypeObject {
		return ""
	}
	if name := e.Value.Get("name"); name.Type() == js.TypeString {
		return name.String()
	}
	return ""
}
