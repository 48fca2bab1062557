//go:build !js

package match

import (
	"testing"

	"datumbook/calc/registry/registrytest"
)

func TestRoom(t *testing.T) { registrytest.Room(t, Sheets(), Checks()) }
