package replication

// readable checks the contents that an answer will hold, before its first byte: of one that is
// damaged nothing is sent.
func (h *Handler) readable(d *loaded) error {
	for _, a := range d.Atts {
		if !d.wants(a) {
			continue
		}
		if _, err := h.Store.OpenAtt(a); err != nil {
			return err
		}
	}
	return nil
}
