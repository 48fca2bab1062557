// Package lan lets the phones of one shop reach the office machine safely with
// nothing bought and nothing registered: a certificate authority of the shop's
// own, the office's name on the local network, a plain start page that tells
// each kind of phone how to trust it, and QR codes to save typing.
//
// A phone runs the app offline only from a secure address, so HTTPS is not
// optional here. The authority that makes it possible is limited by its own
// certificate to local names and private addresses: whoever stole its key
// could not pose as any site on the internet to a phone that trusts it.
package lan
