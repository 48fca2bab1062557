package store

import (
	"sync"

	"github.com/klauspost/compress/s2"
)

// A body's members may be compressed, from format 2 on: most of a record is the names of its fields
// and edits, the same in every record, and each page saved is a page less to write and flush. A
// packed body begins with a two-byte zero, which no attachment table ever did, since its count is
// written in as few bytes as it takes; then the compression method.
const (
	packedMark  = "\x80\x00"
	packedS2    = 1        // an S2 block over dictionary 1
	packedHead  = 3        // bytes of marker and method
	packedLimit = 64 << 20 // longest decompressed members: a whole request's documents
)

// dictionary1 holds what the records of a job book have in common, most frequent last. It is part
// of the file format and never changes: another one needs another method number.
const dictionary1 = `"cautions":[{"level":"note","text":""}],"inputs":{"readings":{"text":"","unit":"","value":[[` +
	`"results":{"unit":"in","value":0.0"lines":[{"label":"","source":"` +
	`"worksheet":[{"at":"2026-"answer":[{"at":"2026-"photo":[{"at":"2026-"taken":[{"at":"2026-"text":[{"at":"2026-"drawing":[{"at":"2026-` +
	`"tool":[{"at":"2026-"fixture":[{"at":"2026-"machine":[{"at":"2026-"notes":[{"at":"2026-"done":[{"at":"2026-"state":[{"at":"2026-` +
	`"order":[{"at":"2026-"tag":[{"at":"2026-"when":[{"at":"2026-"unsure":[{"at":"2026-"gauge":[{"at":"2026-"temp":[{"at":"2026-` +
	`"v":"tool:01K"v":"machine:01K"v":"fixture:01K"v":"gauge:01K"v":"part:01K"v":"step:01K"v":"feature:01K"v":"setup:01K` +
	`"v":{"x":"","y":"","z":"","axis":"x","count":"` +
	`"part":[{"at":"2026-"step":[{"at":"2026-"feature":[{"at":"2026-"round":[{"at":"2026-"x":[{"at":"2026-"y":[{"at":"2026-` +
	`"type":"kept","v":1"type":"photo","v":1"type":"step","v":1"type":"setup","v":1"type":"feature","v":1"type":"note","v":1"type":"job","v":1` +
	`"v":true}],"kind":[{"at":"2026-"name":[{"at":"2026-01-01T10:00:00Z","by":"","id":"-12","over":["-10"],"unit":"mm","v":"` +
	`"by":"","f":{"job":[{"at":"2026-02-02T08:00:00Z","by":"","id":"-1","v":"job:01K"}],"setup":[{"at":"2026-03-10T12:00:00Z","by":"` +
	`"note":[{"at":"2026-04-0"station":[{"at":"2026-05-1T09:30:00.000Z","by":"","id":"-3","v":""}],` +
	`"value":[{"at":"2026-06-20T07:00:00Z","by":"","id":"-2","unit":"in","v":"0."}],"who":[{"at":"2026-"}]},"type":"reading","v":1`

var packing = sync.OnceValue(func() *s2.Dict { return s2.MakeDictManual([]byte(dictionary1), 0) })

// packer compresses the bodies of one push; its results stay valid.
type packer struct{ scratch, arena []byte }

// pack returns the members compressed, or nil if that saves less than an eighth.
func (p *packer) pack(members []byte) []byte {
	if len(members) < 32 {
		return nil
	}
	if n := s2.MaxEncodedLen(len(members)); cap(p.scratch) < n {
		p.scratch = make([]byte, n)
	}
	out := packing().Encode(p.scratch[:0], members)
	if len(out) > len(members)-len(members)/8 {
		return nil
	}
	if cap(p.arena)-len(p.arena) < len(out) {
		p.arena = make([]byte, 0, max(len(out), 16<<10))
	}
	from := len(p.arena)
	p.arena = append(p.arena, out...)
	return p.arena[from:len(p.arena):len(p.arena)]
}

// unpackMembers decompresses.
func unpackMembers(packed []byte) ([]byte, error) {
	if n, err := s2.DecodedLen(packed); err == nil && n <= packedLimit {
		if out, err := packing().Decode(nil, packed); err == nil {
			return out, nil
		}
	}
	return nil, newError(Damaged, "a document's body is damaged: it cannot be unpacked")
}
