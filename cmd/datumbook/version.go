package main

import (
	"context"
	"fmt"
	"runtime/debug"
)

// version is set by the build; else the module's build information tells.
var version = ""

func versionText() string {
	if version != "" {
		return version
	}
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
		return info.Main.Version
	}
	return "development build"
}

func versionCommand(_ context.Context, c *console, _ []string) int {
	fmt.Fprintf(c.out, "datumbook %s\n", versionText())
	return exitOK
}
