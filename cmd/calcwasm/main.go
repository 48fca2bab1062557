//go:build js && wasm

// Command calcwasm is the calculations compiled for the phone. It sets
// globalThis.datumbook to an object with the functions run and
// book, each giving JSON text, and then waits for calls.
package main

import (
	"syscall/js"

	"datumbook/calc/shelf"
	"datumbook/store/record"
)

func main() {
	js.Global().Set("datumbook", js.ValueOf(map[string]any{
		"version": version,
		"run": js.FuncOf(func(_ js.Value, args []js.Value) any {
			json, _, _ := shelf.Run(args[0].String(), args[1].String(), shelf.Unpack(args[2].String()))
			return string(json)
		}),
		"book": js.FuncOf(func(_ js.Value, args []js.Value) any {
			return string(record.Call(args[0].String(), []byte(args[1].String())))
		}),
	}))
	select {}
}

// version is set by the build.
var version = "dev"
