//go:build !windows

package main

import (
	"os"
	"runtime"

	"golang.org/x/sys/unix"
)

func clicked() bool {
	s := start{system: runtime.GOOS, parent: os.Getppid(), program: os.Args[0], env: os.Getenv}
	for _, f := range []*os.File{os.Stdin, os.Stdout, os.Stderr} {
		s.terminal = s.terminal || isTerminal(f)
	}
	s.dir, _ = os.Getwd()
	s.home, _ = os.UserHomeDir()
	return s.byClick()
}

func isTerminal(f *os.File) bool {
	_, err := unix.IoctlGetWinsize(int(f.Fd()), unix.TIOCGWINSZ)
	return err == nil
}
