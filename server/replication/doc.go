// Package replication answers the CouchDB replication protocol, version 3, out of a store: the
// requests that PouchDB on the phones, any other client of the protocol and a CouchDB cluster make.
// compatibility.md lists every endpoint. A handler answers or returns an error, which respond.go
// gives the protocol's words.
//
// Documents are not decoded into Go values: json.go takes off the protocol's own members and hands
// the rest to the store as it was sent. Attachment contents are decoded while they arrive and never
// wait in memory whole.
package replication
