package record

// Index finds records again.
type Index struct{}
