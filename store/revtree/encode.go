package revtree

import (
	"encoding/binary"
	"encoding/hex"
	"errors"
)

// Node flags of the binary form.
const (
	flagInner   = 1 << iota // it has a child
	flagDeleted             // a deletion
	flagBody                // a body number follows
	flagParent              // the distance to the parent follows
	flagHex                 // the hash is 32 lower-case hexadecimal digits, kept as 16 bytes
)

// ErrDecode is returned for bytes that are not a tree's binary form.
var ErrDecode = errors.New("revision tree is damaged")

// AppendBinary appends the tree's compact form: the number of nodes; then for each its flags, the
// step in generation from the node before, the distance back to its parent, its body number, its
// hash. Equal trees give equal bytes.
func (t *Tree) AppendBinary(b []byte) []byte {
	b = binary.AppendUvarint(b, uint64(len(t.Nodes)))
	var pos uint64
	for i := range t.Nodes {
		n := &t.Nodes[i]
		var flags byte
		if n.Inner {
			flags |= flagInner
		}
		if n.Deleted {
			flags |= flagDeleted
		}
		if n.Body != 0 {
			flags |= flagBody
		}
		if n.Parent >= 0 {
			flags |= flagParent
		}
		var raw [16]byte
		if unhex(raw[:], n.Hash) {
			flags |= flagHex
		}
		b = append(b, flags)
		b = binary.AppendUvarint(b, n.Pos-pos)
		pos = n.Pos
		if n.Parent >= 0 {
			b = binary.AppendUvarint(b, uint64(i-n.Parent))
		}
		if n.Body != 0 {
			b = binary.AppendUvarint(b, n.Body)
		}
		if flags&flagHex != 0 {
			b = append(b, raw[:]...)
		} else {
			b = append(b, byte(len(n.Hash)))
			b = append(b, n.Hash...)
		}
	}
	return b
}

// Decode reads what AppendBinary wrote and refuses anything else.
func Decode(b []byte) (Tree, error) {
	count, b, ok := uvarint(b)
	if !ok || count > uint64(len(b))/4+1 { // the smallest node takes four bytes
		return Tree{}, ErrDecode
	}
	t := Tree{Nodes: make([]Node, count)}
	var pos uint64
	for i := range t.Nodes {
		n := &t.Nodes[i]
		if len(b) == 0 {
			return Tree{}, ErrDecode
		}
		flags := b[0]
		var step, back uint64
		if step, b, ok = uvarint(b[1:]); !ok || step > MaxPos {
			return Tree{}, ErrDecode
		}
		pos += step
		n.Pos, n.Parent = pos, -1
		n.Inner, n.Deleted = flags&flagInner != 0, flags&flagDeleted != 0
		if flags&flagParent != 0 {
			if back, b, ok = uvarint(b); !ok || back > uint64(i) {
				return Tree{}, ErrDecode
			}
			n.Parent = i - int(back)
		}
		if flags&flagBody != 0 {
			if n.Body, b, ok = uvarint(b); !ok {
				return Tree{}, ErrDecode
			}
		}
		size := 16
		if flags&flagHex == 0 {
			if len(b) == 0 {
				return Tree{}, ErrDecode
			}
			size, b = int(b[0]), b[1:]
		}
		if len(b) < size {
			return Tree{}, ErrDecode
		}
		if flags&flagHex != 0 {
			n.Hash = hex.EncodeToString(b[:16])
		} else {
			n.Hash = string(b[:size])
		}
		b = b[size:]
		if flags >= flagHex<<1 || (flags&flagBody != 0 && n.Body == 0) {
			return Tree{}, ErrDecode
		}
	}
	if len(b) != 0 || !t.Valid() {
		return Tree{}, ErrDecode
	}
	return t, nil
}

// Valid reports whether the tree keeps its own rules: revisions well formed and in order, each
// parent one generation before its child and marked as a parent, and at least one leaf unless the
// tree is empty.
func (t *Tree) Valid() bool {
	leaf := len(t.Nodes) == 0
	for i := range t.Nodes {
		n := &t.Nodes[i]
		if n.Pos == 0 || n.Pos > MaxPos || !GoodHash(n.Hash) || n.Parent < -1 || n.Parent >= i {
			return false
		}
		if i > 0 && t.Nodes[i-1].Rev.Compare(n.Rev) >= 0 {
			return false
		}
		if n.Parent >= 0 && (t.Nodes[n.Parent].Pos != n.Pos-1 || !t.Nodes[n.Parent].Inner) {
			return false
		}
		leaf = leaf || !n.Inner
	}
	return leaf
}

func uvarint(b []byte) (uint64, []byte, bool) {
	v, n := binary.Uvarint(b)
	if n <= 0 || (n > 1 && b[n-1] == 0) { // longer than necessary: each tree has one encoding
		return 0, nil, false
	}
	return v, b[n:], true
}

// unhex fills raw from exactly 32 lower-case hexadecimal digits.
func unhex(raw []byte, s string) bool {
	if len(s) != 32 {
		return false
	}
	for i := range raw {
		hi, lo := digit(s[2*i]), digit(s[2*i+1])
		if hi > 15 || lo > 15 {
			return false
		}
		raw[i] = hi<<4 | lo
	}
	return true
}

func digit(c byte) byte {
	switch {
	case '0' <= c && c <= '9':
		return c - '0'
	case 'a' <= c && c <= 'f':
		return c - 'a' + 10
	default:
		return 0xff
	}
}
