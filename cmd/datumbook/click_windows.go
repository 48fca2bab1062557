package main

import (
	"os"
	"unsafe"

	"golang.org/x/sys/windows"
)

var consoleList = windows.NewLazySystemDLL("kernel32.dll").NewProc("GetConsoleProcessList")

// clicked reports whether the console is this program's alone: a terminal that it was started from
// would be in its list too.
func clicked() bool {
	var pids [2]uint32
	n, _, _ := consoleList.Call(uintptr(unsafe.Pointer(&pids[0])), uintptr(len(pids)))
	return n == 1
}

func isTerminal(f *os.File) bool {
	var mode uint32
	return windows.GetConsoleMode(windows.Handle(f.Fd()), &mode) == nil
}
