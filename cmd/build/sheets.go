package main

import "datumbook/calc/shelf"

// describe gives the description of all worksheets as the app and the types are made from it.
func describe() ([]byte, error) {
	return []byte(shelf.Describe()), nil
}
