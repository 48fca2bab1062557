// Package store keeps the shop's records in one bbolt file and merges the copies that phones, other
// replicas and the office make of them.
//
// # What one file holds
//
// One file holds every book (a CouchDB-protocol database), the attachments of all books, the paired
// devices, the audit trail and the review list. Format 5:
//
//	meta                     format (4 bytes), uuid, created
//	books/                   one nested bucket per book, named by the book
//	  name                   the book's name once more, since a key alone has no sum
//	  state                  last sequence, last body number, live documents, deletions, revision limit
//	  purged                 how many purges it says it remembers, where a replica set that
//	  doc/    id             sequence of the last change, then the revision tree in binary form
//	  body/   body number    attachment table, then the document's members as they were sent, mostly
//	                         packed (8-byte key, only appended)
//	  by/     body number    who sent that revision, and when it came by the office's clock
//	  seq/    sequence       id, deleted or not, all leaves, winner first: a _changes row (8-byte key,
//	                         only appended)
//	  local/  id             revision number, then the members of a checkpoint
//	blob/    SHA-256         chunk run, length, MD5, how many bodies name it
//	chunk/   run, number     the bytes of attachments, 256 KiB a piece (12-byte key, only appended)
//	damaged/ SHA-256         contents that were found damaged, when and how
//	pending/ run             attachment bytes whose document is not committed yet; emptied at opening
//	flag/    book, 0, id     why a record needs a look
//	refused/ digest          documents that the protocol's own rules made us refuse, whole, and why;
//	                         dropped once the same revision has arrived whole
//	device/  id              name, role, created, last seen, revoked
//	token/   SHA-256         the device a token belongs to; the token itself is never kept
//	code/                    nothing, since codes wait in memory
//	audit/   number          pairings, revocations, restores, books made and removed
//	setting/                 nothing yet
//
// Numbers in keys are big-endian, so that bbolt's order is the numbers' order. Bodies, sequence
// rows and chunks are only ever appended: their pages fill up and a page of _changes costs the same
// at the millionth record as at the first. Every value ends in a CRC-32C over its key and itself. The
// chunks that formats 1 and 2 wrote have none, which their length tells, and are covered by the
// SHA-256 they are filed under until [Store.Tend] seals them.
//
// # Damage
//
// A flipped bit is reported, never served: all pieces of a content are checked before its first byte
// goes out. What was found damaged by reading or verifying is remembered and listed by
// [Store.Wanted]. Any copy of the same content that comes later is written in its place, and a known
// revision that is pushed again mends its own damaged body. The document then moves to a new
// sequence, so that replicas which set it aside hear of it again.
//
// # Revisions
//
// A document's tree and its bodies are read, merged and written in one write transaction. Every
// leaf has a body; the bodies of older revisions stay until [Store.Tend] or [Store.Compact] drops
// them. A document is kept as
// it was sent: its members are packed but not re-encoded, so numbers keep every digit. A record
// that [Options.Rules] objects to is stored like any other and listed by [Store.Flags]; replication
// never drops it. Whether a known revision comes with the same content is decided by what it says, not
// by its bytes: a replica may write numbers, texts and the order of members in another way.
//
// # What one transaction covers
//
// Writers hand functions to one committer. It takes all that wait, runs them in one bbolt
// transaction and commits: many pushes share one commit's two flushes (data and header). One call
// of [Book.Push] or [Book.Edit] is one function, so its documents, trees, sequence rows, counters,
// attachment references and flags are on disk together or not at all. Bytes of large attachments
// are written ahead in functions of their own and stay invisible until a document names them. A
// function that fails is run again alone, so that it does not fail the others.
//
// Readers see one instant and copy what they return. No read transaction stays open while a client
// is written to or waited for.
//
// # What an acknowledgement promises
//
// When a writing method returns without error, what it wrote has been flushed to the disk and
// survives a crash or a power cut at any later moment. When it returns an error, nothing was kept
// or, if the disk itself failed, all or nothing; sending it again does no harm. Checkpoints are the
// exception: they wait in memory for the next commit, at most some seconds, see [Local]. _changes
// tells of nothing that is not flushed yet.
//
// # Getting smaller
//
// [Store.Tend], which a server calls from time to time, drops old bodies in small steps, and rewrites
// a file that is mostly free pages. The copy is made from one snapshot and then follows what is
// written meanwhile: while two snapshots are open, a page number that both have stands for the same
// bytes, so only the pages that they do not share are compared. Writers wait for the last, short
// round and the swap; readers do not wait at all, and end with the file they began with.
//
// # Upgrades
//
// A file of an earlier format is brought to the present one when it is opened, in one transaction.
// Where [Options.Upgrade] says where, a verified copy is made first; with no room for it the file is
// left as it is. A file of a later format is refused before anything is written.
//
// # Identity
//
// The uuid names this history of the store to replicas. [Restore] generates a new one, drops all
// checkpoints and raises the sequence numbers past any that were given out, so that every phone
// compares everything again and sends what the restored copy lacks. The same is done when the
// file's newer header page turns out to be damaged, because bbolt then falls back to the state
// before it.
package store
