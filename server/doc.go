// Package server is the office machine's HTTP side: it serves the app, the
// worksheets, pairing and, under /sync/, the replication protocol.
//
// Every route is in one table (routes.go) with its method, path, least role, largest body and
// longest time. Every request passes the same middleware in the same order (middleware.go):
// recover, log, host, scheme, origin, limits, token, role. The requests of a device that is revoked end at
// once (running.go). A handler reads, validates, does, and answers or
// returns an error; package web writes both.
//
// By default the server listens on the loopback address alone, and a request from the user that it
// runs as needs no token: that user can read the data folder anyway. Whose a connection is the
// operating system says (package sameuser); where it does not, and for this machine's other users,
// the address 127.0.0.1 gives no right to records, only to the app, its worksheets and the figures
// of /metrics. A browser of this machine then gets a token by a link that is good once. Two checks
// keep web pages from using the exemption: the Host header must name this machine, and Origin and
// Sec-Fetch-Site, if sent, must be our page's. On the shop's network (package lan) everyone needs a
// token.
//
// Behind a reverse proxy (package proxy) every check takes the client's address, name and scheme from
// what the owner's named proxies say, and from nobody else. Where such a proxy may run on this machine,
// no request is this machine's own: without a word from the proxy it would look the same.
package server
