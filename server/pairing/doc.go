// Package pairing decides who may do what: one-time codes that the owner shows, the device tokens
// that phones get for them, the three roles, and the rate limit and lock against guessing.
//
// A code is valid for ten minutes and once, and has eight digits. Ten wrong guesses revoke all
// valid codes, so a guesser has at most ten chances in a hundred million for each code shown. A
// token is 256 random bits; only its SHA-256 is kept, so a stolen copy of the store gives no
// access.
package pairing
