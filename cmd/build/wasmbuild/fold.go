package wasmbuild

import (
	"encoding/binary"
	"fmt"
)

// The tables of functions are full of places that go up from one function to the next, as the
// entries' and the records' own do. A compressor sees no rule in them: they took some 70 kB as
// sent. So the initial memory holds them as a stream of what cannot be reckoned, one field of all
// functions after the other, where the functions' names had been; and a start function (WebAssembly
// Core Specification 2.0, 2.5.9), which runs once before all else, writes the tables from it.
//
// In the stream each number is a uvarint. An even one says by how much it is above the largest of
// its field so far: a new place. An odd one is the number itself and one, doubled: a place already
// named, or no place at all, which is -1.

// recordSize is the size of a function's record in bytes.
const recordSize = 4 * len(fn{})

// bucketSize is the size of a runtime.findfuncbucket: the function at which a piece of code begins,
// and how many begin in each of its 16 parts. A piece are 4096 places in the code and a function
// 65536, so that nothing begins within a piece.
const (
	bucketSize, pieceSize = 20, 4096
	piecesPerFunction     = 16
)

// fold writes the stream, clears what is made from it, and gives the body of the start function.
func (t *tables) fold() ([]byte, error) {
	first := t.offset(0)
	if first != t.finder+8*t.count+8 && first != t.finder+8*t.count+4 || recordSize*t.count > t.room {
		return nil, fmt.Errorf("%w: %d functions have %d bytes of records", errModule, t.count, t.room)
	}
	pieces := (int(t.module[atHighest]-t.module[atLowest]) + pieceSize - 1) / pieceSize
	if pieces <= 0 || bucketSize*(pieces-1)+4 > len(t.buckets) {
		return nil, fmt.Errorf("%w: its buckets lie outside", errModule)
	}
	for i := range pieces {
		bucket := t.buckets[bucketSize*i : min(bucketSize*i+bucketSize, len(t.buckets))]
		if i == pieces-1 { // it has as many parts as the last function reaches into
			bucket = bucket[:4]
		}
		for n, c := range binary.LittleEndian.AppendUint32(nil, uint32(i/piecesPerFunction)) {
			if bucket[n] != c {
				return nil, fmt.Errorf("%w: piece %d begins at another function", errModule, i)
			}
		}
		for _, c := range bucket[4:] {
			if c != 0 {
				return nil, fmt.Errorf("%w: a function begins within piece %d", errModule, i)
			}
		}
	}
	stream := t.stream()
	const before = 8 // the empty name, which all functions have
	if len(stream) > t.units-t.names-before {
		return nil, fmt.Errorf("%w: no room for %d bytes where names were", errModule, len(stream))
	}
	clear(t.header[t.finder : t.finder+8*t.count])
	clear(t.header[first : first+t.room])
	clear(t.buckets[:bucketSize*(pieces-1)+4])
	copy(t.header[t.names+before:], stream)
	return unfold(place{
		stream: t.head + t.names + before, finder: t.head + t.finder, records: t.head + first,
		ends: t.head + first + recordSize*t.count, buckets: int(t.module[atBuckets]), pieces: pieces,
	}), nil
}

// stream writes all functions, field by field.
func (t *tables) stream() []byte {
	var out []byte
	for n := range len(fn{}) {
		largest := int64(0)
		for i := range t.funcs {
			is := int64(t.funcs[i][n])
			if is == none {
				is = -1
			}
			if is > largest {
				out = binary.AppendUvarint(out, uint64(is-largest)<<1)
				largest = is
			} else {
				out = binary.AppendUvarint(out, uint64(is+1)<<1|1)
			}
		}
	}
	return out
}

// place are addresses, and how many pieces of code there are.
type place struct{ stream, finder, records, ends, buckets, pieces int }

// Locals of the start function: three 32 bits wide, and as many of 64.
const (
	inStream   = iota // where the stream goes on
	ofField           // address of a field of the first record
	ofRecord          // and of the record at hand
	itsLargest        // of the field
	number
	bits
)

// Of the binary format (WebAssembly Core Specification 2.0, 5.3 and 5.4).
const (
	typeI32, typeI64, typeFunc, noValue = 0x7f, 0x7e, 0x60, 0x40

	opLoop, opBrIf, opSelect = 0x03, 0x0d, 0x1b
	opGet, opSet             = 0x20, 0x21

	opLoad, opLoad8, opStore                  = 0x28, 0x2d, 0x36 // of 32 bits
	opLessU, opAdd, opSub, opAnd, opShiftDown = 0x49, 0x6a, 0x6b, 0x71, 0x76

	opLong, opLongLoad8, opLongStore          = 0x42, 0x31, 0x3e // of 64
	opLongMore, opLongAdd, opLongSub          = 0x55, 0x7c, 0x7d
	opLongAnd, opLongOr, opLongUp, opLongDown = 0x83, 0x84, 0x86, 0x88
	opShorten                                 = 0xa7

	words = 2 // addresses are whole words
)

// code is a function's body as it is written.
type code []byte

func (c *code) op(bytes ...byte) { *c = append(*c, bytes...) }
func (c *code) num(x int)        { c.op(opI32Const); *c = appendSigned(*c, int64(x)) }
func (c *code) long(x int)       { c.op(opLong); *c = appendSigned(*c, int64(x)) }
func (c *code) get(local byte)   { c.op(opGet, local) }
func (c *code) set(local byte)   { c.op(opSet, local) }
func (c *code) loop()            { c.op(opLoop, noValue) }

// below ends a loop that is run again while a local is below a number.
func (c *code) below(local byte, x int) { c.get(local); c.num(x); c.op(opLessU, opBrIf, 0, opEnd) }

// step adds to a local.
func (c *code) step(local byte, x int) { c.get(local); c.num(x); c.op(opAdd); c.set(local) }

// unfold writes the start function.
func unfold(p place) []byte {
	c := &code{2, 3, typeI32, 3, typeI64}
	c.num(p.stream)
	c.set(inStream)
	c.num(p.records)
	c.set(ofField)
	c.loop() // for each field
	c.long(0)
	c.set(itsLargest)
	c.get(ofField)
	c.set(ofRecord)
	c.loop() // of each function
	c.uvarint()
	c.get(number) // itself: half of it, less one
	c.long(1)
	c.op(opLongDown)
	c.long(1)
	c.op(opLongSub)
	c.get(number) // or above the largest by half of it
	c.long(1)
	c.op(opLongDown)
	c.get(itsLargest)
	c.op(opLongAdd)
	c.get(number) // as it is odd or even
	c.op(opShorten)
	c.num(1)
	c.op(opAnd, opSelect)
	c.set(number)
	c.get(ofRecord)
	c.get(number)
	c.op(opLongStore, words, 0)
	c.get(number)
	c.get(itsLargest)
	c.get(number)
	c.get(itsLargest)
	c.op(opLongMore, opSelect)
	c.set(itsLargest)
	c.step(ofRecord, recordSize)
	c.below(ofRecord, p.ends)
	c.step(ofField, 4)
	c.below(ofField, p.records+recordSize)

	// The finder: each function's entry, and where its record is from the finder on.
	c.num(p.records)
	c.set(ofRecord)
	c.num(p.finder)
	c.set(ofField)
	c.loop()
	c.get(ofField)
	c.get(ofRecord)
	c.op(opLoad, words, 0)
	c.op(opStore, words, 0)
	c.get(ofField)
	c.get(ofRecord)
	c.num(p.finder)
	c.op(opSub)
	c.op(opStore, words, 4)
	c.step(ofField, 8)
	c.step(ofRecord, recordSize)
	c.below(ofRecord, p.ends)

	// The buckets, each by the number of its piece of code.
	c.num(0)
	c.set(ofField)
	c.num(p.buckets)
	c.set(ofRecord)
	c.loop()
	c.get(ofRecord)
	c.get(ofField)
	c.num(4) // bits: 16 pieces a function
	c.op(opShiftDown)
	c.op(opStore, words, 0)
	c.step(ofRecord, bucketSize)
	c.step(ofField, 1)
	c.below(ofField, p.pieces)
	c.op(opEnd)
	return *c
}

// uvarint reads a number of the stream, 7 bits of each byte.
func (c *code) uvarint() {
	c.long(0)
	c.set(number)
	c.long(0)
	c.set(bits)
	c.loop()
	c.get(number)
	c.get(inStream)
	c.op(opLongLoad8, 0, 0)
	c.long(127)
	c.op(opLongAnd)
	c.get(bits)
	c.op(opLongUp, opLongOr)
	c.set(number)
	c.get(bits)
	c.long(7)
	c.op(opLongAdd)
	c.set(bits)
	c.get(inStream)
	c.op(opLoad8, 0, 0)
	c.step(inStream, 1)
	c.num(128)
	c.op(opAnd, opBrIf, 0, opEnd)
}
