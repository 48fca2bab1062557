package wasmbuild

import (
	"bytes"
	"encoding/binary"
	"fmt"
)

// A Go program contains, for tracebacks, the name of every function and tables from each
// instruction to its file and line. On the phone no one reads a traceback: a calculation that
// panics is reported as such and restarted. In calc.wasm they cost some tens of kB as sent, so they
// are blanked. What the runtime needs to run - stack sizes, pointer maps, and where functions begin
// - stays, and a panic still ends the program as it should.
//
// The layout is that of Go 1.20 and later: runtime/symtab.go (pcHeader, functab, pcvalue) and
// runtime/runtime2.go (_func).

// pclnMagic opens the table: its magic number, two bytes of padding, the instruction size and the
// pointer size of WebAssembly.
var pclnMagic = []byte{0xf1, 0xff, 0xff, 0xff, 0, 0, 1, 8}

// Offsets within a _func.
const (
	atName, atFile, atLine  = 4, 20, 24
	atStack, atPCDataCount  = 16, 28
	atUnit, atStart, atList = 32, 36, 44
)

// lean blanks names, files and lines in the joined data segments. It changes nothing and gives an
// error where the table is not as it knows it.
func lean(list []segment) error {
	for i := range list {
		at := bytes.Index(list[i].body, pclnMagic)
		if at < 0 {
			continue
		}
		if bytes.Contains(list[i].body[at+1:], pclnMagic) {
			return fmt.Errorf("%w: more than one table of functions", errModule)
		}
		return blank(list[i].body[at:])
	}
	return fmt.Errorf("%w: no table of functions", errModule)
}

// blank works on the bytes from the table's header on.
func blank(table []byte) error {
	word := func(n int) int { return int(binary.LittleEndian.Uint64(table[8*n:])) }
	const words = 9 // magic; functions; files; unused; names, units, files, pc tables, functions
	if len(table) < 8*words {
		return fmt.Errorf("%w: its table of functions is cut short", errModule)
	}
	count, names, units, files, pcs, funcs := word(1), word(4), word(5), word(6), word(7), word(8)
	ordered := 8*words <= names && names <= units && units <= files && files <= pcs && pcs <= funcs
	if count <= 0 || count > 1<<20 || !ordered || funcs+8*count+4 > len(table) {
		return fmt.Errorf("%w: its table of functions is of another layout", errModule)
	}
	needed := make([]bool, funcs-pcs) // bytes of the pc tables that stay
	needed[0] = true
	for i := range count {
		at := funcs + int(binary.LittleEndian.Uint32(table[funcs+8*i+4:]))
		if at+atList > len(table) {
			return fmt.Errorf("%w: function %d lies outside", errModule, i)
		}
		f := table[at:]
		offsets := []int{atStack}
		for n := range int(binary.LittleEndian.Uint32(f[atPCDataCount:])) {
			offsets = append(offsets, atList+4*n)
		}
		for _, o := range offsets {
			if o+4 > len(f) {
				return fmt.Errorf("%w: function %d is cut short", errModule, i)
			}
			if err := keepTable(table[pcs:funcs], needed, binary.LittleEndian.Uint32(f[o:])); err != nil {
				return fmt.Errorf("function %d: %w", i, err)
			}
		}
		for _, o := range []int{atName, atFile, atLine, atUnit, atStart} {
			binary.LittleEndian.PutUint32(f[o:], 0)
		}
	}
	clear(table[names:pcs])
	for i, keep := range needed {
		if !keep {
			table[pcs+i] = 0
		}
	}
	return nil
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
