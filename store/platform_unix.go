//go:build !windows

package store

const windows = false
