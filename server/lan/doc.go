// Package lan lets the phones of one shop reach the office machine securely without bought
// certificates or registered domains: a private certificate authority, the office's name on the
// local network, a plain start page that tells each kind of phone how to trust it, and QR codes to
// save typing.
//
// A phone runs the app offline only from a secure address, so HTTPS is not optional here. Name
// constraints in the authority's certificate limit it to local names and private addresses: a
// stolen key cannot impersonate internet sites to phones that trust it.
package lan
