package store

import (
	"encoding/binary"
	"hash/crc32"

	bolt "go.etcd.io/bbolt"
)

// Bucket names; doc.go explains what each holds.
var (
	bucketMeta    = []byte("meta")
	bucketBooks   = []byte("books")
	bucketBlob    = []byte("blob")
	bucketChunk   = []byte("chunk")
	bucketPending = []byte("pending")
	bucketFlag    = []byte("flag")
	bucketRefused = []byte("refused")
	bucketDevice  = []byte("device")
	bucketToken   = []byte("token")
	bucketCode    = []byte("code")
	bucketAudit   = []byte("audit")
	bucketSetting = []byte("setting")

	bucketDamaged = []byte("damaged")

	topBuckets = [][]byte{bucketMeta, bucketBooks, bucketBlob, bucketChunk, bucketPending, bucketFlag, bucketRefused,
		bucketDevice, bucketToken, bucketCode, bucketAudit, bucketSetting, bucketDamaged}

	bucketDoc   = []byte("doc")
	bucketBody  = []byte("body")
	bucketSeq   = []byte("seq")
	bucketLocal = []byte("local")

	bookBuckets = [][]byte{bucketDoc, bucketBody, bucketSeq, bucketLocal, bucketBy}

	// bookKeys are the entries of a book beside its buckets.
	bookKeys = [][]byte{keyState, keyPurged, keyName}

	keyState    = []byte("state")
	keyPurged   = []byte("purged")
	keyName     = []byte("name")
	keyFormat   = []byte("format")
	keyUUID     = []byte("uuid")
	keyCreated  = []byte("created")
	keyUnsealed = []byte("unsealed")
)

// bookNames is the format in which books hold their names.
const bookNames = 5

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

const sealSize = 4

// seal appends the check sum over key and value. The value is written to disk with it.
func seal(key, value []byte) []byte {
	return binary.BigEndian.AppendUint32(value, sumOf(key, value))
}

func sumOf(key, value []byte) uint32 {
	return crc32.Update(crc32.Checksum(key, castagnoli), castagnoli, value)
}

// unseal verifies and removes the check sum; the result aliases the argument.
func unseal(key, value []byte) ([]byte, error) {
	n := len(value) - sealSize
	if n < 0 {
		return nil, newError(Damaged, "a record in the store is damaged: it is too short")
	}
	if sumOf(key, value[:n]) != binary.BigEndian.Uint32(value[n:]) {
		return nil, newError(Damaged, "a record in the store is damaged: its check sum does not match")
	}
	return value[:n:n], nil
}

// putSealed stores value with its check sum under key.
func putSealed(b *bolt.Bucket, key, value []byte) error {
	return b.Put(key, seal(key, value))
}

// getSealed reads what putSealed wrote: nil, nil where there is nothing. The bytes are valid as
// long as the transaction.
func getSealed(b *bolt.Bucket, key []byte) ([]byte, error) {
	v := b.Get(key)
	if v == nil {
		return nil, nil
	}
	return unseal(key, v)
}

func key64(n uint64) []byte { return binary.BigEndian.AppendUint64(nil, n) }

func chunkKey(run uint64, n uint32) []byte {
	return binary.BigEndian.AppendUint32(key64(run), n)
}

// reader decodes the store's own binary values; after an overrun, bad is set and every read returns
// zero.
type reader struct {
	b   []byte
	bad bool
}

func (r *reader) uvarint() uint64 {
	v, n := binary.Uvarint(r.b)
	if n <= 0 {
		r.bad, r.b = true, nil
		return 0
	}
	r.b = r.b[n:]
	return v
}

func (r *reader) bytes(n uint64) []byte {
	if n > uint64(len(r.b)) {
		r.bad, r.b = true, nil
		return nil
	}
	v := r.b[:n:n]
	r.b = r.b[n:]
	return v
}

func (r *reader) byte() byte {
	v := r.bytes(1)
	if v == nil {
		return 0
	}
	return v[0]
}

func (r *reader) string() string { return string(r.bytes(r.uvarint())) }

func appendString(b []byte, s string) []byte {
	return append(binary.AppendUvarint(b, uint64(len(s))), s...)
}
