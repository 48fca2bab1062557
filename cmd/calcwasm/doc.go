//go:build !(js && wasm)

// Command calcwasm is the calculations compiled for the phone; it is built for
// js/wasm only.
package main

func main() {}
