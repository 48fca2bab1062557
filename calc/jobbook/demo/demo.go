// Package demo is an invented job, for showing and trying the job book: a
// pillow-block housing in grey iron with a pump flange on one side, machined
// in four setups. Nothing in it is a real shop, customer, machine or casting.
//
// Every record carries "demo":"pillow-block" and an id that begins with its
// kind and Prefix, so that all of it can be taken out in one go. The records
// are in pillow-block.json, in the form of an export, pictures included; the
// test makes the file again from build_test.go when run with -update.
package demo

import _ "embed"

// Name is what every record of the job has under "demo".
const Name = "pillow-block"

// Prefix is what every id of the job has after its kind and the colon. It
// sorts before the ids of real records.
const Prefix = "00-demo-pillow-block-"

// File is the job as one export file: {"datumbook":1,"form":"records",
// "demo":"pillow-block","docs":[...]}, pictures inline as base64.
//
//go:embed pillow-block.json
var File []byte
