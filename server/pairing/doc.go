// Package pairing decides who may do what: one-time codes that the owner shows, the device tokens
// that phones get for them, the three roles, and the rate limit and lock against guessing.
//
// A code is valid for ten minutes and once, and has eight digits. A wrong one slows the address that
// tried it, and counts against the codes that begin like it: a stranger has some ten chances in a
// hundred million for each code shown, and cannot keep others from pairing (throttle.go). A
// token is 256 random bits; only its SHA-256 is kept, so a stolen copy of the store gives no
// access.
package pairing
