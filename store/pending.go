package store

import (
	"encoding/binary"
	"sync"
)

// pendingBlock is how many sequences share one count.
const pendingBlock = 1024

// pending counts a book's sequence rows in blocks, so that the number of rows after a sequence is
// known without reading them. It is in memory, counted when first asked for, and updated by each
// commit from then on.
type pending struct {
	mu     sync.Mutex
	blocks map[uint64]uint64
	upTo   uint64 // sequences up to this one are in the counts
	told   uint64 // the last sequence passed to follow, with or without counts
}

// move is a document's row that went from one sequence (0: none) to another.
type move struct{ from, to uint64 }

// follow applies a commit's moves. Moves that the count already includes are skipped.
func (p *pending) follow(moves []move) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if n := len(moves); n > 0 {
		p.told = moves[n-1].to
	}
	if p.blocks == nil {
		return
	}
	for _, m := range moves {
		if m.to <= p.upTo {
			continue
		}
		if m.from != 0 {
			p.blocks[m.from/pendingBlock]--
		}
		p.blocks[m.to/pendingBlock]++
		p.upTo = m.to
	}
}

// Pending counts the documents whose last change is after a sequence. It may be off by what is
// committed meanwhile.
func (view *View) Pending(after uint64) (uint64, error) {
	p := &view.b.pending
	p.mu.Lock()
	defer p.mu.Unlock()
	blocks := p.blocks
	if blocks == nil {
		st, err := loadState(view.book)
		if err != nil {
			return 0, err
		}
		blocks = map[uint64]uint64{}
		c := view.seq.Cursor()
		for k, _ := c.First(); len(k) == 8; k, _ = c.Next() {
			blocks[binary.BigEndian.Uint64(k)/pendingBlock]++
		}
		if st.seq >= p.told { // else a cached count would miss a later commit for good
			p.blocks, p.upTo = blocks, st.seq
		}
	}
	var n uint64
	block := after / pendingBlock
	for at, count := range blocks {
		if at > block {
			n += count
		}
	}
	c := view.seq.Cursor()
	for k, _ := c.Seek(key64(after + 1)); len(k) == 8 && binary.BigEndian.Uint64(k)/pendingBlock == block; k, _ = c.Next() {
		n++
	}
	return n, nil
}
