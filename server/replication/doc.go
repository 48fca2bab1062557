// Package replication answers the CouchDB replication protocol, version 3, out of a store: the requests that PouchDB on the
// phones, any other client of the protocol and a CouchDB cluster make. compatibility.md lists every endpoint. Each has a
// file of its own; respond.go alone writes statuses and bodies.
//
// Documents are not decoded into Go values: a scanner checks the JSON, takes off the protocol's own members and hands the
// rest to the store as it was sent. Attachment contents are decoded while they arrive and never wait in memory whole.
package replication
