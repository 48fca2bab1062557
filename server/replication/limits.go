package replication

// The limits on what one request, one device and all of them together may take of the office. What a
// phone or a CouchDB sends when it is honest lies well within them; compatibility.md lists them for
// readers.
const (
	// One record: its JSON without the contents of attachments.
	maxRecord = 1 << 20    // from a paired phone; no phone is given more either
	maxDoc    = 8_000_000  // from a peer: an owner's device, such as another office, or this machine
	maxSent   = 2 * maxDoc // that as it is sent, where CouchDB counts less of it: see countJSON

	// One request.
	maxBatch   = 64 << 20  // all its documents, as for one record
	phoneBatch = 24 << 20  // the same from a phone
	maxRequest = 256 << 20 // with the contents of attachments, unpacked
	keepMemory = 8 << 20   // attachment contents of one request held in memory

	expectMemory = 6 << 20 // made sure of for a long request before it is read
	maxDepth     = 500     // how deep JSON may nest

	maxDigits = 400      // of one number in a record
	maxPacked = 32 << 20 // contents that came packed, in all, unpacked; see web.UnpackedTimes too
	maxAsk    = 8 << 20  // the body of a request that only reads
	maxLocal  = 64 << 10 // a checkpoint
	maxWanted = 20_000   // documents that one request to read names
	maxNamed  = 200_000  // ids or revisions that one request names

	// One page of an answer: this much is read in one instant and then written.
	pageBytes = 64 << 10
	pageDocs  = 50
	rowBytes  = 150 // memory of a revision that is still to be read
	pageRows  = 250

	// A selector of _changes.
	maxSelector  = 16 << 10 // bytes
	maxCondition = 200      // conditions and values in it
	maxNested    = 10

	// Feeds that stay open. The oldest gives way.
	deviceFeeds = 8
	allFeeds    = 256
)

// What the server gives each device, and all of them together; see web.Sharing.
const (
	DeviceRequests = 4        // answered at once, beside feeds: a browser opens six connections
	DeviceWaiting  = 100      // waiting for that; more are refused with 429
	FreeMemory     = 64 << 10 // of each request
	AllMemory      = 32 << 20 // beyond that, for bodies and large records in flight
	DeviceMemory   = 12 << 20
	ProcessMemory  = 220 << 20 // at which the program frees memory more eagerly
	AllPacked      = 24        // answers being packed with gzip
)
