package wasmbuild

import (
	"bytes"
	"encoding/binary"
	"fmt"
)

// A Go program contains, for tracebacks, the name of every function and tables from each
// instruction to its file and line. On the phone no one reads a traceback: a calculation that
// panics is reported as such and restarted. In calc.wasm they cost some tens of kB as sent, so they
// are blanked, and so is what only tracebacks and preemption by signals, which a browser has not,
// look up: the sizes of arguments, and where a function must not be interrupted. What the runtime
// needs to run - stack sizes, pointer maps, and where functions begin - stays, folded (fold.go),
// and a panic still ends the program as it should.
//
// The layout is that of Go 1.20 and later: runtime/symtab.go (pcHeader, moduledata, functab,
// pcvalue), runtime/runtime2.go (_func) and internal/abi/symtab.go (PCDATA_, FUNCDATA_).

// pclnMagic opens the table: its magic number, two bytes of padding, the instruction size and the
// pointer size of WebAssembly.
var pclnMagic = []byte{0xf1, 0xff, 0xff, 0xff, 0, 0, 1, 8}

// headWords are the words of the table's header: magic; functions; files; unused; where names,
// units, files, pc tables and functions begin.
const headWords = 9

// Words of moduledata, which begins with the addresses of the header and of the names.
const (
	atBuckets, atLowest, atHighest, atFuncData = 19, 20, 21, 40
	moduleWords                                = 42
)

// Words of a _func, and bytes of its counts.
const (
	ofEntry, ofName, ofStack, ofFile, ofLine = 0, 1, 4, 5, 6
	ofPCCount, ofUnit, ofStart, ofCounts     = 7, 8, 9, 10
	ofLists                                  = 11
	countByte                                = 43 // of function data, the last of ofCounts
)

// PCDATA_ and FUNCDATA_.
const (
	stackMap                                     = 1
	argMaps, localMaps, stackObjects, inlineTree = 0, 1, 2, 3
	deferInfo, argInfo                           = 4, 5
	dataKept                                     = deferInfo + 1
)

// none stands for function data that is not there.
const none = 1<<32 - 1

// fn is a function as the runtime needs it, all with the same lists.
type fn [ofLists + stackMap + 1 + dataKept]uint32

// tables are the parts of a program's memory that are worked on.
type tables struct {
	head                      int      // address of the header
	header                    []byte   // and the bytes from it on
	count                     int      // functions
	names, units, pcs, finder int      // from the header
	module                    []uint64 // words of moduledata
	funcs                     []fn
	room                      int    // bytes that the functions have
	data                      []byte // function data
	buckets                   []byte // from parts of the code to functions
}

// lean blanks and folds tables in the joined data segments, and gives the body of the function that
// unfolds them when the module starts. It gives an error where the tables are not as it knows them.
func lean(list []segment) ([]byte, error) {
	t, err := find(list)
	if err != nil {
		return nil, err
	}
	if err := t.blank(); err != nil {
		return nil, err
	}
	return t.fold()
}

// find reads the tables, and changes nothing.
func find(list []segment) (*tables, error) {
	t := &tables{}
	for i := range list {
		at := bytes.Index(list[i].body, pclnMagic)
		if at < 0 {
			continue
		}
		if t.header != nil || bytes.Contains(list[i].body[at+1:], pclnMagic) {
			return nil, fmt.Errorf("%w: more than one table of functions", errModule)
		}
		t.header, t.head = list[i].body[at:], int(list[i].at)+at
	}
	if t.header == nil {
		return nil, fmt.Errorf("%w: no table of functions", errModule)
	}
	if len(t.header) < 8*headWords {
		return nil, fmt.Errorf("%w: its table of functions is cut short", errModule)
	}
	word := func(n int) int { return int(binary.LittleEndian.Uint64(t.header[8*n:])) }
	t.count, t.names, t.units, t.pcs, t.finder = word(1), word(4), word(5), word(7), word(8)
	files := word(6)
	ordered := 8*headWords <= t.names && t.names <= t.units && t.units <= files && files <= t.pcs && t.pcs < t.finder
	if t.count <= 0 || t.count > 1<<20 || !ordered || t.finder+8*t.count+4 > len(t.header) {
		return nil, fmt.Errorf("%w: its table of functions is of another layout", errModule)
	}
	if err := t.readModule(list); err != nil {
		return nil, err
	}
	t.funcs = make([]fn, t.count)
	for i := range t.funcs {
		if err := t.read(i); err != nil {
			return nil, fmt.Errorf("function %d: %w", i, err)
		}
	}
	return t, nil
}

// readModule reads moduledata and finds what it names.
func (t *tables) readModule(list []segment) error {
	begins := binary.LittleEndian.AppendUint64(nil, uint64(t.head))
	begins = binary.LittleEndian.AppendUint64(begins, uint64(t.head+t.names))
	for _, s := range list {
		at := bytes.Index(s.body, begins)
		if at < 0 || at+8*moduleWords > len(s.body) {
			continue
		}
		t.module = make([]uint64, moduleWords)
		for n := range t.module {
			t.module[n] = binary.LittleEndian.Uint64(s.body[at+8*n:])
		}
	}
	if t.module == nil {
		return fmt.Errorf("%w: no module data", errModule)
	}
	for _, s := range list {
		from := func(n int) []byte {
			if at := t.module[n] - s.at; at < uint64(len(s.body)) {
				return s.body[at:]
			}
			return nil
		}
		if rest := from(atFuncData); rest != nil {
			t.data = rest
		}
		if rest := from(atBuckets); rest != nil {
			t.buckets = rest
		}
	}
	if t.data == nil || t.buckets == nil {
		return fmt.Errorf("%w: its module data is of another layout", errModule)
	}
	return nil
}

// offset gives where a function's record is, from the header.
func (t *tables) offset(i int) int {
	return t.finder + int(binary.LittleEndian.Uint32(t.header[t.finder+8*i+4:]))
}

// read reads one function.
func (t *tables) read(i int) error {
	outside := fmt.Errorf("%w: it lies outside", errModule)
	at := t.offset(i)
	if at < t.finder || at+4*ofLists > len(t.header) {
		return outside
	}
	f := t.header[at:]
	pcs, data := int(binary.LittleEndian.Uint32(f[4*ofPCCount:])), int(f[countByte])
	size := 4*ofLists + 4*pcs + 4*data
	if pcs > 16 || size > len(f) {
		return outside
	}
	t.room = max(t.room, at+size-t.offset(0))
	word := func(n int) uint32 { return binary.LittleEndian.Uint32(f[4*n:]) }
	to := &t.funcs[i]
	for n := range ofLists {
		to[n] = word(n)
	}
	to[ofPCCount] = stackMap + 1
	to[ofCounts] = to[ofCounts]&(1<<24-1) | dataKept<<24
	if pcs > stackMap {
		to[ofLists+stackMap] = word(ofLists + stackMap)
	}
	for n := range dataKept {
		is := uint32(none)
		if n < data {
			is = word(ofLists + pcs + n)
		}
		to[ofLists+stackMap+1+n] = is
	}
	if to[ofLists+stackMap+1+inlineTree] != none {
		return fmt.Errorf("%w: something is inlined in it", errModule)
	}
	if to[ofEntry] != binary.LittleEndian.Uint32(t.header[t.finder+8*i:]) {
		return fmt.Errorf("%w: it begins in two places", errModule)
	}
	return nil
}

// blank clears names, files and lines, and tables of which nothing is needed.
func (t *tables) blank() error {
	pcs := t.header[t.pcs:t.finder]
	needed := make([]bool, len(pcs)) // bytes of the pc tables that stay
	needed[0] = true
	data := make([]bool, len(t.data)) // bytes of function data that stay
	var idle [][2]int                 // and those of the sizes of arguments
	for i := range t.funcs {
		f := &t.funcs[i]
		for _, n := range []int{ofStack, ofLists + stackMap} {
			if err := keepTable(pcs, needed, f[n]); err != nil {
				return fmt.Errorf("function %d: %w", i, err)
			}
		}
		for n, at := range f[ofLists+stackMap+1:] {
			if at == none {
				continue
			}
			size := t.dataSize(n, int(at))
			if size < 0 {
				return fmt.Errorf("function %d: %w: its data %d lies outside", i, errModule, n)
			}
			mark(data[at : int(at)+size])
		}
		old := t.header[t.offset(i):]
		before, has := int(binary.LittleEndian.Uint32(old[4*ofPCCount:])), int(old[countByte])
		if has > argInfo {
			at := binary.LittleEndian.Uint32(old[4*(ofLists+before+argInfo):])
			if size := t.argInfoSize(int(at)); at != none && size > 0 {
				idle = append(idle, [2]int{int(at), int(at) + size})
			}
		}
		for _, n := range []int{ofName, ofFile, ofLine, ofUnit, ofStart} {
			f[n] = 0
		}
	}
	clear(t.header[t.names:t.pcs])
	for i, keep := range needed {
		if !keep {
			pcs[i] = 0
		}
	}
	for _, span := range idle {
		for i := span[0]; i < span[1]; i++ {
			if !data[i] {
				t.data[i] = 0
			}
		}
	}
	return nil
}

func mark(list []bool) {
	for i := range list {
		list[i] = true
	}
}

// dataSize gives how many bytes a function's data of a kind has, or -1 where they lie outside.
func (t *tables) dataSize(kind, at int) int {
	if at+8 > len(t.data) {
		return -1
	}
	body := t.data[at:]
	size := 0
	switch kind {
	case argMaps, localMaps: // runtime.stackmap: how many, bits of each, the bits
		n, bits := int(int32(binary.LittleEndian.Uint32(body))), int(int32(binary.LittleEndian.Uint32(body[4:])))
		if n < 0 || bits < 0 {
			return -1
		}
		size = 8 + n*((bits+7)/8)
	case stackObjects: // how many, and a runtime.stackObjectRecord of each
		n := binary.LittleEndian.Uint64(body)
		if n > uint64(len(body)) {
			return -1
		}
		size = 8 + 16*int(n)
	case deferInfo: // two uvarints
		for range 2 {
			_, n := binary.Uvarint(body[size:])
			if n <= 0 {
				return -1
			}
			size += n
		}
	}
	if size > len(body) {
		return -1
	}
	return size
}

// argInfoSize gives how many bytes the sizes of a function's arguments have: offsets and sizes,
// with marks between them (abi.TraceArgsEndSeq and its like, from 0xfb on), ended by 0xff.
func (t *tables) argInfoSize(at int) int {
	for i := at; i < len(t.data); i++ {
		switch c := t.data[i]; {
		case c == 0xff:
			return i + 1 - at
		case c < 0xfb:
			i++
		}
	}
	return 0
}

// keepTable marks the bytes of one pc table: pairs of a value's and a pc's step, each a uvarint,
// ended by a value step of zero that is not the first (runtime.step). Offset 0 stands for no table.
func keepTable(tables []byte, needed []bool, offset uint32) error {
	if offset == 0 {
		return nil
	}
	for at, first := int(offset), true; ; first = false {
		for part := range 2 {
			if at >= len(tables) {
				return fmt.Errorf("%w: a pc table runs out", errModule)
			}
			value, n := binary.Uvarint(tables[at:])
			if n <= 0 {
				return fmt.Errorf("%w: a pc table is cut short", errModule)
			}
			for i := range n {
				needed[at+i] = true
			}
			at += n
			if part == 0 && value == 0 && !first {
				return nil
			}
		}
	}
}
