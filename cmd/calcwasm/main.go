//go:build js && wasm

// Command calcwasm is the calculations compiled for the phone. Its exported functions take a
// request written into its memory and leave the answer there; pwa/src/engine/module.ts is the other
// side. Exported functions instead of syscall/js save some 17 kB.
package main

import (
	"unsafe"

	"datumbook/calc/jobbook"
	"datumbook/calc/registry"
)

// The request and the answer of the call going on. There is one thread.
var request, reply []byte

// room gives where a request of n bytes may be written.
//
//go:wasmexport room
func room(n int32) unsafe.Pointer {
	request = make([]byte, n, n+1) // never empty, so that it has an address
	return unsafe.Pointer(unsafe.SliceData(request))
}

// answerSheet runs a worksheet: its name, the unit and the packed inputs, each
// on a line; a text among the inputs may hold further lines.
//
//go:wasmexport answerSheet
func answerSheet() int32 {
	name, rest := line(request)
	unit, pairs := line(rest)
	reply, _, _ = registry.Run(name, unit, registry.Unpack(string(pairs)))
	return int32(len(reply))
}

// answerBook answers an operation of the job book: its name and its JSON, each
// on a line.
//
//go:wasmexport answerBook
func answerBook() int32 {
	op, json := line(request)
	reply = jobbook.Call(op, json)
	request = nil // the book keeps what it was given
	return int32(len(reply))
}

// answer gives where the answer stands, until the next request.
//
//go:wasmexport answer
func answer() unsafe.Pointer { return unsafe.Pointer(unsafe.SliceData(reply)) }

// line cuts off the first line.
func line(b []byte) (first string, rest []byte) {
	for i, c := range b {
		if c == '\n' {
			return string(b[:i]), b[i+1:]
		}
	}
	return string(b), nil
}

func main() { select {} }
