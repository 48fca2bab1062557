package pairing

import (
	"context"

	"datumbook/store"
)

// Identity is who a request comes from.
type Identity struct {
	Device string // device id; empty for the office machine itself and for strangers
	Name   string // the device's name, for logs and the trail
	Role   store.Role
}

type identityKey struct{}

// With returns a context that carries who asks.
func With(ctx context.Context, id Identity) context.Context {
	return context.WithValue(ctx, identityKey{}, id)
}

// From gives who asks; without one, a stranger.
func From(ctx context.Context) Identity {
	id, _ := ctx.Value(identityKey{}).(Identity)
	return id
}
