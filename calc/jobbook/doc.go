// Package jobbook is the job book: what a machine, a fixture, a job, a setup or
// a reading consists of, which rules its fields follow, and how two copies of
// one thing become one without losing a value.
//
// The rules live here once and run at both ends: natively at the office and,
// compiled to WebAssembly, on the phone. The package is pure: documents in,
// documents out; no clock, no chance, no files. What has to be unique (device,
// counter, random digits) is handed in.
//
// A document is {"_id","type","v","f":{field:[edit,...]}}. An edit is
// {"id","at","by","v","over":[ids it replaces]} and never changes. A field is
// the growing set of its edits; its current values are those that no other
// edit names in its over. More than one different current value is a clash and
// both are shown until someone chooses, which is one more edit over both.
// Merging is the union by edit, in one order, so it does not matter who merges
// what, when, or how often. Clocks decide nothing. FORMAT.md says it in full.
package jobbook
