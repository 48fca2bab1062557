package main

import "golang.org/x/sys/windows"

// freeSpace gives the bytes a user may still write below a folder.
func freeSpace(dir string) (uint64, error) {
	name, err := windows.UTF16PtrFromString(dir)
	if err != nil {
		return 0, err
	}
	var free uint64
	err = windows.GetDiskFreeSpaceEx(name, &free, nil, nil)
	return free, err
}
