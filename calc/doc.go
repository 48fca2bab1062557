// Package calc is the shop calculations: values in, values out. It uses no files, clock, network or
// goroutines, so it gives the same digits on the phone (compiled to WebAssembly), at the office and
// on the command line.
//
// The packages, from the ground up:
//
//	units      typed values and units, exact where the trade is exact
//	drill      drill sizes and usual oversize
//	shoptext   what a machinist types and reads
//	fitting    fits and small solvers, no trade words
//	thread     designations and limits of size
//	field      one thing that is asked: kinds, limits, sentences, JSON
//	worksheet  a worksheet's description and its runner
//	check      what was checked against which source
//	shape      where things are: faces, places, bodies of a setup
//	joint      a stud, its hole, nut and washer, for hold
//	hole ...   one question of the machinist each
//	registry   the one list of worksheets
//	jobbook    records: kinds, edits, merging, views, search, exchange by file
//
// Imports only go up this list; a test checks it.
package calc
