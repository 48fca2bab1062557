package store

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"strings"
	"sync"

	bolt "go.etcd.io/bbolt"
)

// What is kept of refused documents: a device that sends nothing else must not fill the disk. The
// oldest of the device that has too many go first, and are counted.
const (
	RefusedEach  = 200     // of one device
	RefusedBytes = 2 << 20 // likewise
	RefusedAll   = 2000    // of all devices
)

// The setting bucket has an index of the refused documents that were kept since there are limits: a
// row for each, by device and time, with its length; and how many of a device's were dropped.
var (
	refusedIndex = []byte("refused\x00")
	refusedGone  = []byte("refused-dropped\x00")
)

// refusedKey is the key of a refused document in the index. Devices' ids have no zero byte.
func refusedKey(r refusalRow, number []byte) []byte {
	k := append(bytes.Clone(refusedIndex), bytes.ReplaceAll([]byte(r.By), []byte{0}, nil)...)
	k = binary.BigEndian.AppendUint64(append(k, 0), uint64(r.At.UnixNano()))
	return append(k, number...)
}

// boundRefused makes room for a refused document and enters it in the index.
func (s *Store) boundRefused(tx *bolt.Tx, r refusalRow, number []byte) error {
	index := tx.Bucket(bucketSetting)
	key := refusedKey(r, number)
	own := key[:len(key)-16]
	length := uint64(len(r.Body) + len(r.Text) + len(r.ID) + len(r.Rev) + 300)
	var mine, all [][]byte
	var lengths []uint64
	var bytesOf uint64
	c := index.Cursor()
	for k, raw := c.Seek(refusedIndex); k != nil && bytes.HasPrefix(k, refusedIndex); k, raw = c.Next() {
		all = append(all, bytes.Clone(k))
		if bytes.HasPrefix(k, own) {
			n := uint64(0)
			if v, err := unseal(k, raw); err == nil {
				n, _ = binary.Uvarint(v)
			}
			mine, lengths = append(mine, bytes.Clone(k)), append(lengths, n)
			bytesOf += n
		}
	}
	dropped := 0
	drop := func(k []byte) error {
		dropped++
		s.forgetRefused(tx, k[len(k)-8:])
		if err := tx.Bucket(bucketRefused).Delete(k[len(k)-8:]); err != nil {
			return err
		}
		return index.Delete(k)
	}
	for len(mine) > 0 && (len(mine) >= RefusedEach || bytesOf+length > RefusedBytes) {
		if err := drop(mine[0]); err != nil {
			return err
		}
		bytesOf -= lengths[0]
		mine, lengths = mine[1:], lengths[1:]
	}
	if len(all)-dropped >= RefusedAll {
		if err := drop(mostRefused(all)); err != nil {
			return err
		}
	}
	if dropped > 0 {
		gone := append(bytes.Clone(refusedGone), own[len(refusedIndex):]...)
		n := uint64(dropped)
		if v, err := getSealed(index, gone); err == nil && v != nil {
			before, _ := binary.Uvarint(v)
			n += before
		}
		if err := putSealed(index, gone, binary.AppendUvarint(nil, n)); err != nil {
			return err
		}
		s.opt.Log.Warn("refused documents dropped: there are too many", "device", r.By, "dropped", dropped, "in all", n)
	}
	return putSealed(index, key, binary.AppendUvarint(nil, length))
}

// mostRefused gives the oldest row of the device that has most.
func mostRefused(all [][]byte) []byte {
	first, best := 0, 0
	most := 0
	for i := range all {
		if i > 0 && !bytes.Equal(all[i][:len(all[i])-16], all[i-1][:max(0, len(all[i-1])-16)]) {
			first = i
		}
		if n := i - first + 1; n > most {
			most, best = n, first
		}
	}
	return all[best]
}

// dropRefused removes a refused document and its row of the index.
func dropRefused(tx *bolt.Tx, number []byte) error {
	var r refusalRow
	if err := getJSON(tx.Bucket(bucketRefused), number, &r); err == nil {
		if err := tx.Bucket(bucketSetting).Delete(refusedKey(r, number)); err != nil {
			return err
		}
	}
	return tx.Bucket(bucketRefused).Delete(number)
}

// RefusedDropped counts the refused documents of each device that were dropped because there were too
// many.
func (s *Store) RefusedDropped() (map[string]uint64, error) {
	out := map[string]uint64{}
	err := s.view(func(tx *bolt.Tx) error {
		c := tx.Bucket(bucketSetting).Cursor()
		for k, raw := c.Seek(refusedGone); k != nil && bytes.HasPrefix(k, refusedGone); k, raw = c.Next() {
			v, err := unseal(k, raw)
			if err != nil {
				return err
			}
			out[string(bytes.TrimSuffix(k[len(refusedGone):], []byte{0}))], _ = binary.Uvarint(v)
		}
		return nil
	})
	return out, err
}

// otherContent begins the reason of a refusal whose revision is known with other content.
const otherContent = "same_revision_other_content"

// refusedRevs remembers which revisions were refused, so that a push need not look through what is
// set aside. It is a hint: it may name some that are gone, and lack one of which another copy was dropped.
type refusedRevs struct {
	mu sync.Mutex
	of map[refusedRev]bool
}

type refusedRev struct{ book, id, rev string }

func (k *refusedRevs) add(r Refusal) {
	if strings.HasPrefix(r.Reason, otherContent) {
		return // the one that is known arrived before it, and goes on arriving
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.of == nil {
		k.of = map[refusedRev]bool{}
	}
	k.of[refusedRev{r.Book, r.ID, r.Rev}] = true
}

// waits reports whether one of the documents was refused before.
func (k *refusedRevs) waits(book string, docs []Doc) bool {
	k.mu.Lock()
	defer k.mu.Unlock()
	if len(k.of) == 0 {
		return false
	}
	for i := range docs {
		if k.of[refusedRev{book, docs[i].ID, docs[i].Rev.String()}] {
			return true
		}
	}
	return false
}

// came forgets a revision that arrived whole, or is not set aside any more.
func (k *refusedRevs) came(book, id, rev string) {
	k.mu.Lock()
	defer k.mu.Unlock()
	delete(k.of, refusedRev{book, id, rev})
}

// forgetRefused forgets a refused document that is about to be dropped.
func (s *Store) forgetRefused(tx *bolt.Tx, number []byte) {
	var r Refusal
	if err := getJSON(tx.Bucket(bucketRefused), number, &r); err == nil {
		s.refused.came(r.Book, r.ID, r.Rev)
	}
}

// loadRefused reads which revisions are set aside. A damaged entry is told by Verify, and keeps nobody
// from working.
func (s *Store) loadRefused(tx *bolt.Tx) error {
	b := tx.Bucket(bucketRefused)
	if b == nil {
		return nil // of an earlier format
	}
	return b.ForEach(func(k, raw []byte) error {
		var r Refusal
		if text, err := unseal(k, raw); err == nil && json.Unmarshal(text, &r) == nil {
			s.refused.add(r)
		}
		return nil
	})
}

// arrived drops what was refused of revisions that have come whole now.
func (w *writer) arrived(rows []Result) error {
	whole := map[refusedRev]bool{}
	for _, row := range rows {
		if row.Err == nil {
			whole[refusedRev{w.b.name, row.ID, row.Rev.String()}] = true
		}
	}
	var gone [][]byte
	err := w.tx.Bucket(bucketRefused).ForEach(func(k, raw []byte) error {
		var r Refusal
		text, err := unseal(k, raw)
		if err == nil && json.Unmarshal(text, &r) == nil && whole[refusedRev{r.Book, r.ID, r.Rev}] &&
			!strings.HasPrefix(r.Reason, otherContent) {
			gone = append(gone, bytes.Clone(k))
		}
		return nil
	})
	for _, k := range gone {
		if err == nil {
			err = dropRefused(w.tx, k)
		}
	}
	return err
}
