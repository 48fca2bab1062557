// Command build makes the app: calc.wasm, the bundle, icons, index.html, their compressed copies,
// all into pwa/dist, where the server's program embeds them. Run it again at will: what is
// unchanged is not made again. From the app it makes the release.
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "build:", err)
		os.Exit(1)
	}
}
