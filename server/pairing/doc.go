// Package pairing decides who may do what: one-time codes that the owner shows
// at the office, the device tokens that phones trade them for, the three
// roles, and the slowing down and locking that make guessing useless.
//
// A code lives ten minutes, is good once, and has eight digits. Ten wrong
// guesses withdraw every code that is out, so a stranger who guesses without
// pause has at most ten chances in a hundred million for each code the owner
// chooses to show. A token is 256 random bits; only its SHA-256 is kept, so a
// stolen copy of the store opens nothing.
package pairing
