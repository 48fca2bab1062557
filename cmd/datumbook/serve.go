package main

import "context"

func serveCommand(context.Context, *console, []string) int { return exitFailed }
