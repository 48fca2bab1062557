// Package storetest holds what every store of revisions must do: a contract that runs against the
// real one and against an in-memory twin, random lives that drive both and compare, a child process
// to be killed, and damage to be told.
package storetest
