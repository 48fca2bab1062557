// Package jobbook is the job book: what a machine, a fixture, a job, a setup or a reading consists
// of, which rules its fields follow, and how two copies of a record merge without losing a value.
//
// The same rules run at the office natively and on the phone as WebAssembly. The package is pure:
// documents in, documents out; no clock, randomness or files. Unique values (device, counter,
// random digits) are parameters.
//
// A document is {"_id","type","v","f":{field:[edit,...]}}. An edit is
// {"id","at","by","v","over":[ids it replaces]} and never changes. A field is a grow-only set of
// edits; its current values are the edits that no other names in its over. More than one different
// current value is a clash and both are shown until someone chooses, which is one more edit over
// both. Merging is the union by edit, in one order, so it does not matter who merges what, when, or
// how often. Clocks decide nothing. FORMAT.md says it in full.
package jobbook
