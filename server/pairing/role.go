package pairing

import (
	"context"
	"fmt"
)

// Role says how much a caller may do. Each role includes the ones below it.
type Role uint8

// The roles, from least to most.
const (
	Anyone Role = iota // no token: the app's own files, pairing, the health probe
	Reader             // sees jobs and records, changes nothing
	Hand               // a machinist: reads and writes records
	Owner              // also pairs and revokes devices, creates books, takes backups
)

// String gives the role's word as stored and as shown.
func (r Role) String() string {
	switch r {
	case Owner:
		return "owner"
	case Hand:
		return "hand"
	case Reader:
		return "reader"
	default:
		return "anyone"
	}
}

// Allows reports whether r is enough where need is asked for.
func (r Role) Allows(need Role) bool { return r >= need }

// ParseRole reads a role that a device can have: "owner", "hand" or "reader".
func ParseRole(s string) (Role, error) {
	for _, r := range []Role{Reader, Hand, Owner} {
		if s == r.String() {
			return r, nil
		}
	}
	return Anyone, fmt.Errorf("role %q is not known: use owner, hand or reader", s)
}

// Identity is who a request comes from.
type Identity struct {
	Device string // device id; empty for the office machine itself and for strangers
	Name   string // the device's name, for logs and the trail
	Role   Role
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
