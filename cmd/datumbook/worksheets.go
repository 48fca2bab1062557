package main

import (
	"maps"
	"slices"

	"datumbook/calc/jobbook"
	"datumbook/calc/registry"
	"datumbook/calc/worksheet"
)

// worksheets lets the server work the worksheets.
type worksheets struct{}

// Run works a worksheet. Inputs are put in the order of their keys, so that of several mistakes
// always the same one is named.
func (worksheets) Run(name, unit string, inputs map[string]string) (answer []byte, ok, found bool) {
	var pairs []worksheet.Pair
	for _, key := range slices.Sorted(maps.Keys(inputs)) {
		pairs = append(pairs, worksheet.Pair{Key: key, Text: inputs[key]})
	}
	answer, failed, found := registry.Run(name, unit, pairs)
	return answer, !failed, found
}

// Describe describes the worksheets.
func (worksheets) Describe() []byte { return registry.Describe() }

// alone are the job book's operations that need nothing but their request and leave nothing behind.
var alone = []string{"describe", "check", "new", "edit", "merge", "view", "clashes", "history", "prefill", "ahead",
	"repeat", "readings", "found", "shape", "placing"}

// ruled answers such an operation for a phone; found is false where it is another.
func ruled(op string, request []byte) (answer []byte, found bool) {
	if !slices.Contains(alone, op) {
		return nil, false
	}
	return new(jobbook.Session).Call(op, request), true
}
