// Package peer keeps a book of this office equal with a database elsewhere: another Datumbook, or a
// CouchDB that many shops share. It is the active side of the replication protocol, version 3; the
// other end need not know of it.
//
// Each peer has one leg out and one in, or only one of them. A leg reads what changed at its source,
// asks the target what of it is missing, carries that over, and notes at both ends how far it is. Both
// ends of a leg are spoken to alike: this office answers its own legs by the same handlers as any
// phone, without a network between.
//
// A leg may be cut off anywhere. It begins where both notes agree; what was carried over and not
// noted is compared again, which changes nothing. What the target refuses is found by halving, listed
// beside the note before the note moves past it, and tried again by the hour; the rest goes on.
package peer
