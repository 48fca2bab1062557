package main

import "datumbook/calc/registry"

// describe gives the description of all worksheets as the app and the types are made from it.
func describe() ([]byte, error) {
	return registry.Describe(), nil
}

// checked gives the outcomes of all that the worksheets were checked against. The phone shows this list as it stands:
// the checks themselves would make calc.wasm a twentieth larger, and cmd/calcwasm's test shows that the phone answers
// as this machine does.
func checked() []byte {
	return registry.ChecksJSON()
}
