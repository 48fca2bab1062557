//go:build !js

package match

import (
	"testing"

	"datumbook/calc/shelf/shelftest"
)

func TestRoom(t *testing.T) { shelftest.Room(t, Sheets(), Checks()) }
