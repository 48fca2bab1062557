package store_test

import (
	"flag"
	"fmt"
	"os"
	"testing"
	"time"

	"datumbook/store/storetest"
)

var kills = flag.Int("kills", 200, "how often the child process is killed")
var seed = flag.Uint64("seed", uint64(time.Now().UnixNano()), "seed of the random moments")

// TestMain also is the child process of the tests that kill one.
func TestMain(m *testing.M) {
	if path := os.Getenv(storetest.ChildEnv); path != "" {
		if err := child(path); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

// children are further kinds of child process, by the environment variable that asks for them.
var children = map[string]func(path string) error{}

func child(path string) error {
	for env, run := range children {
		if os.Getenv(env) != "" {
			return run(path)
		}
	}
	return storetest.Child(path)
}

func TestKilledAtAnyMoment(t *testing.T) {
	storetest.Kill(t, *kills, *seed)
}
