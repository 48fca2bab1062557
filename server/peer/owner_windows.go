package peer

// giveTo has nothing to do: files belong to whom their folder belongs.
func giveTo(string, string) error { return nil }
