package jobbook

// NewID makes an id that sorts by time: the kind, a colon, and 26 characters of base 32
// (Crockford's letters, in capitals): 48 bits of milliseconds since 1970 and 80 random bits, which
// the caller passes as 20 hex digits. after is added to them, for several ids of one draw.
func NewID(kind string, ms int64, chance string, after int) (string, *RecordError) {
	if ms < 0 || ms >= 1<<48 {
		return "", &RecordError{"ms", "The clock cannot be right. Set the time of this device."}
	}
	var b [16]byte
	for i := range 6 {
		b[i] = byte(ms >> (40 - 8*i))
	}
	if len(chance) != 20 {
		return "", &RecordError{"chance", "An id needs 20 hex digits drawn by chance."}
	}
	for i := range 20 {
		v, ok := hexDigit(chance[i])
		if !ok {
			return "", &RecordError{"chance", "An id needs 20 hex digits drawn by chance."}
		}
		b[6+i/2] = b[6+i/2]<<4 | v
	}
	for i := 15; after > 0 && i >= 6; i-- {
		after += int(b[i])
		b[i] = byte(after)
		after >>= 8
	}
	return kind + ":" + base32(b), nil
}

const letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

// base32 writes 128 bits as 26 letters, the first of which carries 3 bits.
func base32(b [16]byte) string {
	var out [26]byte
	bits, have, at := uint(0), uint(2), 0 // two leading zeros make 130 bits
	for _, c := range b {
		bits = bits<<8 | uint(c)
		have += 8
		for have >= 5 {
			have -= 5
			out[at] = letters[bits>>have&31]
			at++
		}
	}
	return string(out[:])
}
