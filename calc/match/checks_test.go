//go:build !js

package match

import (
	"testing"

	"datumbook/calc/registry/registrytest"
)

func TestWorksheets(t *testing.T) { registrytest.Worksheets(t, Sheets(), Checks()) }
