// Package sameuser tells whether the other end of a connection within this machine is a process of
// the user that this program runs as, by asking the operating system. A machine may have several
// users: that a request comes from 127.0.0.1 says only that it comes from one of them.
//
// Check is nil on systems where it cannot be asked; then only a token gives a right.
package sameuser
