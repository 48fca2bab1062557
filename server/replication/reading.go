package replication

import (
	"net/http"

	"datumbook/server/pairing"
)

// deviceOf names the device of a request, as the store keeps it.
func deviceOf(r *http.Request) string {
	if who := pairing.From(r.Context()); who.Device != "" {
		return who.Device
	}
	return "office"
}
