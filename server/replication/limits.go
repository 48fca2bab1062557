package replication

// The limits on what one request, one device and all of them together may take of the office. What a
// phone or a CouchDB sends when it is honest lies well within them; compatibility.md lists them for
// readers.
const (
	// One record: its JSON without the contents of attachments.
	maxRecord = 1 << 20   // from a paired phone; no phone is given more either
	maxDoc    = 8_000_000 // from a peer: an owner's device, such as another office, or this machine

	// One request.
	maxBatch   = 64 << 20  // all its documents, as for one record
	maxRequest = 256 << 20 // with the contents of attachments, unpacked
	keepMemory = 8 << 20   // attachment contents of one request held in memory
	maxDepth   = 500       // how deep JSON may nest

	// One page of an answer: this much is read in one instant and then written.
	pageBytes = 1 << 20
	pageDocs  = 50
)
