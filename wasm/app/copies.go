//go:build js && wasm

package main

import (
	"syscall/js"

	"fourchette/core/companion"
)

// copies answers the shell that saves a file or reads one, piece by piece:
//
//	{save: code}          the first piece of a new file
//	{save: ""}            the next piece
//	{load: code}          begin to take in a file
//	{load: "", at, piece} the next piece of it; without a piece it has ended
//
// The answer holds piece and last, or a fault's code.
func (a *app) copies(message js.Value) map[string]any {
	if save := message.Get("save"); save.Type() == js.TypeString {
		return a.save(save.String())
	}
	return a.load(message)
}

func (a *app) save(code string) map[string]any {
	var out companion.ExportReply
	var fault *companion.Fault
	if code != "" {
		fault = a.core.Ask("records.export_begin", &companion.CodeRequest{Code: code}, &out)
	} else {
		fault = a.core.Ask("records.export_next", &companion.Nothing{}, &out)
	}
	if fault != nil {
		return map[string]any{"fault": fault.Code}
	}
	return map[string]any{"piece": bytesTo(out.Piece), "last": out.Last}
}

func (a *app) load(message js.Value) map[string]any {
	var out companion.ImportReply
	var fault *companion.Fault
	piece := message.Get("piece")
	switch code := text(message, "load"); {
	case code != "":
		fault = a.core.Ask("records.import_begin", &companion.CodeRequest{Code: code}, &out)
	case piece.Truthy():
		fault = a.core.Ask("records.import_next", &companion.PieceRequest{At: int64(message.Get("at").Int()), Piece: bytesFrom(piece)}, &out)
	default:
		if fault = a.core.Ask("records.import_finish", &companion.Nothing{}, &out); fault == nil {
			a.pages.Restored(out)
		}
	}
	if fault != nil {
		return map[string]any{"fault": fault.Code}
	}
	return map[string]any{}
}
