// Package replication answers the CouchDB replication protocol, version 3, out of a store: the
// requests that PouchDB on the phones, any other client of the protocol and a CouchDB cluster make.
// compatibility.md lists every endpoint. A handler answers or returns an error, which respond.go
// gives the protocol's words.
//
// Documents are not decoded into Go values: json.go separates the protocol's own members and passes
// the rest to the store as sent. Attachment contents are decoded as a stream, never held in memory
// whole.
package replication
