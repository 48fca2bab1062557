// Package storetest tests stores of revisions: a contract that runs against the real store and an
// in-memory model, random operations that drive both and compare them, a child process to be
// killed, and damaged files.
package storetest
