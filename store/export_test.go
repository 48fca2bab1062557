package store

// SealForTest seals a value as the store does.
func SealForTest(key, value []byte) []byte { return seal(key, value) }
