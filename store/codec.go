package store

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"

	bolt "go.etcd.io/bbolt"

	"datumbook/store/revtree"
)

// record is a document's entry: its place in the sequence and its tree.
type record struct {
	seq  uint64
	tree revtree.Tree
}

func (r *record) live() bool {
	win := r.tree.Winner()
	return win >= 0 && !r.tree.Nodes[win].Deleted
}

func (r *record) encode(id string) []byte {
	v := make([]byte, 0, 16+24*len(r.tree.Nodes))
	v = binary.AppendUvarint(v, r.seq)
	return seal([]byte(id), r.tree.AppendBinary(v))
}

// getRecord reads a document's entry; an empty one where there is none.
func getRecord(b *bolt.Bucket, id string) (record, error) {
	key := []byte(id)
	v := b.Get(key)
	if v == nil {
		return record{}, nil
	}
	return decodeRecord(key, v)
}

func decodeRecord(key, raw []byte) (record, error) {
	v, err := unseal(key, raw)
	if err != nil {
		return record{}, err
	}
	r := reader{b: v}
	rec := record{seq: r.uvarint()}
	rec.tree, err = revtree.Decode(r.b)
	if err != nil || len(rec.tree.Nodes) == 0 || rec.seq == 0 {
		return record{}, newError(Damaged, "the history of document %q is damaged", key)
	}
	return rec, nil
}

func leafRevs(t *revtree.Tree) []revtree.Rev {
	leaves := t.Leaves()
	revs := make([]revtree.Rev, len(leaves))
	for k, i := range leaves {
		revs[k] = t.Nodes[i].Rev
	}
	return revs
}

// encodeBody returns the value of a body: the attachment table, then the members, compressed if
// they are passed compressed.
func encodeBody(atts []Att, members, packed []byte) []byte {
	size := 8 + len(members) + sealSize
	if packed != nil {
		size = 8 + packedHead + len(packed) + sealSize
	}
	for _, a := range atts {
		size += len(a.Name) + len(a.ContentType) + 80
	}
	v := make([]byte, 0, size)
	if packed != nil {
		v, members = append(append(v, packedMark...), packedS2), packed
	}
	v = binary.AppendUvarint(v, uint64(len(atts)))
	for _, a := range atts {
		v = appendString(v, a.Name)
		v = appendString(v, a.ContentType)
		v = binary.AppendUvarint(v, a.RevPos)
		v = binary.AppendUvarint(v, uint64(a.Length))
		v = append(v, a.MD5[:]...)
		v = append(v, a.SHA256[:]...)
	}
	return append(v, members...)
}

// decodeBody splits an unsealed body; the members may alias the argument.
func decodeBody(v []byte) ([]Att, []byte, error) {
	atts, members, packed, err := splitBody(v)
	if err == nil && packed {
		members, err = unpackMembers(members)
	}
	return atts, members, err
}

// splitBody splits an unsealed body and leaves the members as stored.
func splitBody(v []byte) (atts []Att, members []byte, packed bool, err error) {
	r := reader{b: v}
	if packed = bytes.HasPrefix(v, []byte(packedMark)); packed {
		r.bytes(packedHead - 1)
		if r.byte() != packedS2 {
			return nil, nil, packed, newError(Damaged,
				"a document's body is damaged: the way it is packed is not known")
		}
	}
	n := r.uvarint()
	if n > uint64(len(v)) {
		r.bad, n = true, 0
	}
	for range n {
		a := Att{Name: r.string(), ContentType: r.string(), RevPos: r.uvarint(), Length: int64(r.uvarint())}
		copy(a.MD5[:], r.bytes(16))
		copy(a.SHA256[:], r.bytes(32))
		atts = append(atts, a)
	}
	if r.bad {
		return nil, nil, packed, newError(Damaged, "a document's attachment table is damaged")
	}
	return atts, r.b, packed, nil
}

// getBody reads a body; the members are a copy.
func getBody(b *bolt.Bucket, number uint64) ([]Att, []byte, error) {
	v, err := getSealed(b, key64(number))
	if err != nil {
		return nil, nil, err
	}
	if v == nil {
		return nil, nil, newError(Damaged, "a document's body is missing from the store")
	}
	atts, members, packed, err := splitBody(v)
	if err == nil && packed {
		members, err = unpackMembers(members)
	} else {
		members = bytes.Clone(members)
	}
	return atts, members, err
}

// encodeRow returns the value of a sequence row.
func encodeRow(id string, deleted bool, leaves []revtree.Rev) []byte {
	v := appendString(make([]byte, 0, len(id)+8+20*len(leaves)+sealSize), id)
	if deleted {
		v = append(v, 1)
	} else {
		v = append(v, 0)
	}
	v = binary.AppendUvarint(v, uint64(len(leaves)))
	for _, r := range leaves {
		v = binary.AppendUvarint(v, r.Pos)
		if raw, err := hex.DecodeString(r.Hash); err == nil && len(raw) == 16 && hex.EncodeToString(raw) == r.Hash {
			v = append(append(v, 0), raw...)
		} else {
			v = append(append(v, byte(len(r.Hash))), r.Hash...)
		}
	}
	return v
}

func decodeRow(key, raw []byte) (Change, error) {
	v, err := unseal(key, raw)
	if err != nil {
		return Change{}, err
	}
	r := reader{b: v}
	c := Change{Seq: binary.BigEndian.Uint64(key), ID: r.string(), Deleted: r.byte() == 1}
	n := r.uvarint()
	if n > uint64(len(v)) {
		r.bad, n = true, 0
	}
	c.Leaves = make([]revtree.Rev, 0, n)
	for range n {
		rev := revtree.Rev{Pos: r.uvarint()}
		if size := r.byte(); size == 0 {
			rev.Hash = hex.EncodeToString(r.bytes(16))
		} else {
			rev.Hash = string(r.bytes(uint64(size)))
		}
		c.Leaves = append(c.Leaves, rev)
	}
	if r.bad || len(r.b) != 0 || n == 0 {
		return Change{}, newError(Damaged, "a row of the sequence is damaged")
	}
	return c, nil
}
