package wasmbuild

import (
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
)

// Go's linker cuts the initial memory of a WebAssembly module into tens of thousands of small
// segments, so as not to write out runs of zeros. In the file as such that saves a third, but the
// segments' headers stand between the bytes that a compressor would find alike: compressed, one
// long image is a quarter smaller. So the segments are joined again; memory is zero at the start
// anyway, and what is in it afterwards is the same.

// gap is the longest run of zeros that is written out rather than beginning another segment.
const gap = 16 << 10

// The parts of the binary format used here: WebAssembly Core Specification 2.0, 5.5 (modules) and
// 5.4 (instructions).
const (
	header          = "\x00asm\x01\x00\x00\x00"
	customSection   = 0
	typeSection     = 1    // 5.5.4
	importSection   = 2    // 5.5.5
	functionSection = 3    // 5.5.6
	startSection    = 8    // 5.5.11
	codeSection     = 10   // 5.5.13
	dataSection     = 11   // 5.5.14
	dataCount       = 12   // 5.5.15
	opI32Const      = 0x41 // 5.4.7
	opEnd           = 0x0b // 5.4.9
)

var errModule = errors.New("not a WebAssembly module as Go's linker writes it")

// segment is a piece of the initial memory.
type segment struct {
	at   uint64
	body []byte
}

// section is a part of a module.
type section struct {
	kind byte
	body []byte
}

// repack joins the segments of a module's data section, lets change work on them, and leaves all
// else as it is. Where change gives the body of a function without parameters or results, that is
// added, to run when the module starts.
func repack(module []byte, change func([]segment) ([]byte, error)) ([]byte, error) {
	sections, err := readSections(module)
	if err != nil {
		return nil, err
	}
	var start []byte
	for i := range sections {
		s := &sections[i]
		switch s.kind {
		case dataSection:
			segments, err := readSegments(s.body)
			if err != nil {
				return nil, err
			}
			if segments, err = join(segments); err != nil {
				return nil, err
			}
			if start, err = change(segments); err != nil {
				return nil, err
			}
			s.body = writeSegments(split(segments))
		case dataCount:
			// It would have to name the new number, and instructions may refer to segments by the
			// old ones.
			return nil, fmt.Errorf("%w: it counts its data segments", errModule)
		}
	}
	if start != nil {
		if sections, err = addStart(sections, start); err != nil {
			return nil, err
		}
	}
	out := []byte(header)
	for _, s := range sections {
		out = append(out, s.kind)
		out = binary.AppendUvarint(out, uint64(len(s.body)))
		out = append(out, s.body...)
	}
	return out, nil
}

func readSections(module []byte) ([]section, error) {
	if len(module) < len(header) || string(module[:len(header)]) != header {
		return nil, errModule
	}
	var list []section
	for rest := module[len(header):]; len(rest) > 0; {
		size, n := binary.Uvarint(rest[1:])
		if n <= 0 || size > uint64(len(rest)-1-n) {
			return nil, errModule
		}
		list = append(list, section{rest[0], rest[1+n : 1+n+int(size)]})
		rest = rest[1+n+int(size):]
	}
	return list, nil
}

// readSegments reads a data section: each segment active, in memory 0, at a constant address.
func readSegments(body []byte) ([]segment, error) {
	uvarint := func() uint64 {
		value, n := binary.Uvarint(body)
		if n <= 0 {
			body = nil
			return 0
		}
		body = body[n:]
		return value
	}
	count := uvarint()
	var list []segment
	for i := range count {
		if len(body) < 2 || body[0] != 0 || body[1] != opI32Const {
			return nil, fmt.Errorf("%w: data segment %d is of another kind", errModule, i)
		}
		body = body[2:]
		at, n := signed(body)
		if n == 0 || at < 0 || len(body) <= n || body[n] != opEnd {
			return nil, fmt.Errorf("%w: data segment %d has no constant address", errModule, i)
		}
		body = body[n+1:]
		size := uvarint()
		if size > uint64(len(body)) {
			return nil, fmt.Errorf("%w: data segment %d is cut short", errModule, i)
		}
		list = append(list, segment{uint64(at), body[:size]})
		body = body[size:]
	}
	if len(body) > 0 {
		return nil, fmt.Errorf("%w: bytes after the last data segment", errModule)
	}
	return list, nil
}

// join puts neighbours together. Segments that overlap would depend on their order; Go's do not.
func join(list []segment) ([]segment, error) {
	list = slices.DeleteFunc(slices.Clone(list), func(s segment) bool { return len(s.body) == 0 })
	slices.SortStableFunc(list, func(a, b segment) int { return cmp.Compare(a.at, b.at) })
	var joined []segment
	for _, next := range list {
		if n := len(joined); n > 0 {
			last := &joined[n-1]
			end := last.at + uint64(len(last.body))
			if next.at < end {
				return nil, fmt.Errorf("%w: data segments overlap at %#x", errModule, next.at)
			}
			if next.at-end <= gap {
				last.body = append(last.body, make([]byte, next.at-end)...)
				last.body = append(last.body, next.body...)
				continue
			}
		}
		joined = append(joined, segment{next.at, slices.Clone(next.body)})
	}
	return joined, nil
}

// split leaves out longer runs of zeros than join writes out.
func split(list []segment) []segment {
	var out []segment
	for _, s := range list {
		begin, zeros := 0, 0 // of the piece at hand, and how many of its last bytes are zero
		for i := 0; i <= len(s.body); i++ {
			if i < len(s.body) && s.body[i] == 0 {
				zeros++
				continue
			}
			if zeros > gap {
				if end := i - zeros; end > begin {
					out = append(out, segment{s.at + uint64(begin), s.body[begin:end]})
				}
				begin = i
			}
			zeros = 0
		}
		if begin < len(s.body) {
			out = append(out, segment{s.at + uint64(begin), s.body[begin:]})
		}
	}
	return out
}

func writeSegments(list []segment) []byte {
	out := binary.AppendUvarint(nil, uint64(len(list)))
	for _, s := range list {
		out = append(out, 0, opI32Const)
		out = appendSigned(out, int64(s.at))
		out = append(out, opEnd)
		out = binary.AppendUvarint(out, uint64(len(s.body)))
		out = append(out, s.body...)
	}
	return out
}

// signed reads a signed LEB128 number, which is not encoding/binary's own signed form (5.2.2).
func signed(body []byte) (value int64, n int) {
	var shift uint
	for n < len(body) && n < 5 {
		b := body[n]
		value |= int64(b&0x7f) << shift
		shift += 7
		n++
		if b&0x80 == 0 {
			if b&0x40 != 0 {
				value |= -1 << shift
			}
			return value, n
		}
	}
	return 0, 0
}

func appendSigned(out []byte, value int64) []byte {
	for {
		b := byte(value & 0x7f)
		value >>= 7
		if value == 0 && b&0x40 == 0 || value == -1 && b&0x40 != 0 {
			return append(out, b)
		}
		out = append(out, b|0x80)
	}
}
