package wasmbuild

import (
	"bytes"
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// moduleOf writes a module with a custom section on either side of its data.
func moduleOf(segments []segment) []byte {
	out := []byte(header)
	for _, s := range []struct {
		kind byte
		body []byte
	}{{0, []byte("\x01abefore")}, {dataSection, writeSegments(segments)}, {0, []byte("\x01bafter")}} {
		out = append(out, s.kind)
		out = binary.AppendUvarint(out, uint64(len(s.body)))
		out = append(out, s.body...)
	}
	return out
}

// dataOf finds the data section again by its place between the two custom ones.
func dataOf(t require.TestingT, module []byte) []segment {
	rest := bytes.TrimPrefix(module, append([]byte(header), "\x00\x08\x01abefore"...))
	require.Equal(t, byte(dataSection), rest[0])
	size, n := binary.Uvarint(rest[1:])
	require.Equal(t, "\x00\x07\x01bafter", string(rest[1+n+int(size):]), "what stands around the data is untouched")
	list, err := readSegments(rest[1+n : 1+n+int(size)])
	require.NoError(t, err)
	return list
}

// image lays segments into a memory that is zero at the start, as an engine does.
func image(list []segment, size int) []byte {
	memory := make([]byte, size)
	for _, s := range list {
		copy(memory[s.at:], s.body)
	}
	return memory
}

// asIs leaves the segments alone.
func asIs([]segment) ([]byte, error) { return nil, nil }

func TestRepackLeavesTheMemoryAsItWas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list []segment
		at := uint64(0)
		for range rapid.IntRange(0, 12).Draw(t, "segments") {
			at += rapid.OneOf(rapid.Uint64Range(0, 40), rapid.Uint64Range(gap-2, gap+2)).Draw(t, "zeros before")
			body := rapid.SliceOfN(rapid.Byte(), 0, 200).Draw(t, "body")
			list = append(list, segment{at, body})
			at += uint64(len(body))
		}
		shuffled := rapid.Permutation(list).Draw(t, "order")
		out, err := repack(moduleOf(shuffled), asIs)
		require.NoError(t, err)
		after := dataOf(t, out)
		require.Equal(t, image(list, int(at)), image(after, int(at)))
		require.LessOrEqual(t, len(after), len(list))
		for i := 1; i < len(after); i++ {
			end := after[i-1].at + uint64(len(after[i-1].body))
			require.Greater(t, after[i].at-end, uint64(gap), "neighbours closer than the gap are one")
		}
		again, err := repack(out, asIs)
		require.NoError(t, err)
		require.Equal(t, out, again, "a second time changes nothing")
	})
}

func TestRepackRefusesWhatItDoesNotKnow(t *testing.T) {
	one := []segment{{8, []byte("abc")}}
	good := moduleOf(one)
	_, err := repack(good, asIs)
	require.NoError(t, err)
	for name, module := range map[string][]byte{
		"empty":            nil,
		"no module":        []byte("\x7fELF and more of it"),
		"cut short":        good[:len(good)-3],
		"a passive one":    bytes.Replace(good, []byte{dataSection, 9, 1, 0}, []byte{dataSection, 9, 1, 1}, 1),
		"another address":  bytes.Replace(good, []byte{opI32Const, 8, opEnd}, []byte{0x23, 8, opEnd}, 1), // global.get
		"overlapping":      moduleOf([]segment{{8, []byte("abc")}, {10, []byte("d")}}),
		"counted segments": append(bytes.Clone(good), dataCount, 1, 1),
	} {
		_, err := repack(module, asIs)
		assert.ErrorIs(t, err, errModule, name)
	}
}

func FuzzRepack(f *testing.F) {
	f.Add(moduleOf(nil))
	f.Add(moduleOf([]segment{{0, []byte("a")}, {9, []byte("b")}, {1 << 20, []byte("c")}}))
	f.Fuzz(func(t *testing.T, module []byte) {
		out, err := repack(module, asIs)
		if err != nil {
			return
		}
		again, err := repack(out, asIs)
		require.NoError(t, err, "its own output is a module to it")
		require.Equal(t, out, again)
	})
}

func TestSignedNumbers(t *testing.T) {
	// WebAssembly Core Specification 2.0, 5.2.2 gives the range; the bytes are worked out by hand
	// from its grammar.
	for value, bytes := range map[int64][]byte{
		0: {0}, 63: {63}, 64: {0xc0, 0}, 127: {0xff, 0}, 128: {0x80, 1}, -1: {0x7f}, -64: {0x40}, -65: {0xbf, 0x7f},
	} {
		assert.Equal(t, bytes, appendSigned(nil, value), "%d", value)
		got, n := signed(bytes)
		assert.Equal(t, value, got)
		assert.Equal(t, len(bytes), n)
	}
	_, n := signed([]byte{0x80, 0x80})
	assert.Zero(t, n, "cut short")
}
