package pairing

import (
	"context"

	"datumbook/store"
)

// Identity is the caller of a request.
type Identity struct {
	Device string // device id; empty for the office machine itself and for strangers
	Name   string // the device's name, for logs and the audit trail
	Role   store.Role
}

type identityKey struct{}

// With returns a context that carries the caller.
func With(ctx context.Context, id Identity) context.Context {
	return context.WithValue(ctx, identityKey{}, id)
}

// From returns the caller; without one, an anonymous one.
func From(ctx context.Context) Identity {
	id, _ := ctx.Value(identityKey{}).(Identity)
	return id
}
