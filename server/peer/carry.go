package peer

import (
	"context"
	"fmt"
	"iter"
	"maps"
	"slices"
)

// carry brings the target what it lacks of these revisions.
func (l *leg) carry(ctx context.Context, revs map[string][]string) error {
	if len(revs) == 0 {
		return nil
	}
	l.unasked = map[string]bool{}
	lacks, err := l.lacks(ctx, revs)
	if err != nil {
		return err
	}
	l.carriedSome = l.carriedSome || len(lacks) > 0
	l.dropHad(maps.Keys(revs), lacks)
	ids := slices.Sorted(maps.Keys(lacks))
	var photos []string
	out := &outbox{leg: l}
	for some := range slices.Chunk(ids, askDocs) {
		more, err := l.fetch(ctx, some, lacks, out)
		if err != nil {
			return err
		}
		photos = append(photos, more...)
	}
	if err := out.flush(ctx); err != nil {
		return err
	}
	if err := l.photos(ctx, photos, lacks); err != nil {
		return err
	}
	return l.settle(ctx, lacks)
}

// dropHad takes off the list what the target says it has.
func (l *leg) dropHad(ids iter.Seq[string], lacks map[string]lacking) {
	for id := range ids {
		if _, still := lacks[id]; !still && !l.unasked[id] {
			l.aside.drop(id)
		}
	}
}

// lacks asks what the target lacks; where it does not say for all together, half of them at a time.
func (l *leg) lacks(ctx context.Context, revs map[string][]string) (map[string]lacking, error) {
	lacks, err := l.to.revsDiff(ctx, revs)
	if err == nil {
		return lacks, nil
	}
	if !blames(err) && !(l.careful && doubtful(err)) {
		return nil, at(l.to, "what it lacks cannot be asked", err)
	}
	ids := slices.Sorted(maps.Keys(revs))
	if len(ids) == 1 {
		l.unasked[ids[0]] = true
		return nil, l.suspect(ctx, ids[0], "", fmt.Errorf("whether it has this cannot be asked: %w", err))
	}
	out := map[string]lacking{}
	for _, half := range [][]string{ids[:len(ids)/2], ids[len(ids)/2:]} {
		some := make(map[string][]string, len(half))
		for _, id := range half {
			some[id] = revs[id]
		}
		part, err := l.lacks(ctx, some)
		if err != nil {
			return nil, err
		}
		maps.Copy(out, part)
	}
	return out, nil
}

// settle asks the target again. Nothing but its own word takes a record off the list, and what it
// still lacks, for whatever reason, is on it before the leg moves on.
func (l *leg) settle(ctx context.Context, lacked map[string]lacking) error {
	if len(lacked) == 0 {
		return nil
	}
	sent := make(map[string][]string, len(lacked))
	for id, lack := range lacked {
		sent[id] = lack.Missing
	}
	still, err := l.lacks(ctx, sent)
	if err != nil {
		return err
	}
	l.dropHad(maps.Keys(sent), still)
	for _, id := range slices.Sorted(maps.Keys(still)) {
		for _, rev := range still[id].Missing {
			if l.aside.has(id, rev) {
				continue
			}
			if !l.careful {
				return at(l.to, "records cannot be carried over",
					&Fault{Reason: clean(id) + " " + rev + " was handed over and is not there"})
			}
			if err := l.setAside(id, rev, "it is listed where it is, and does not come over"); err != nil {
				return err
			}
		}
	}
	return nil
}

// listed writes the list of what is set aside, and tells it.
func (l *leg) listed() error {
	if err := l.aside.save(); err != nil {
		return err
	}
	l.told(func(t *Leg) { t.Aside = slices.Clone(l.aside.list) })
	return nil
}

// setAside lists a record that cannot be carried over.
func (l *leg) setAside(id, rev, reason string) error {
	l.log.Warn("a record was set aside", "peer", l.far().name, "out", l.out, "record", id, "rev", rev, "reason", reason)
	if err := l.aside.add(Aside{ID: id, Rev: rev, Reason: reason, At: l.now().UTC()}); err != nil {
		return at(l.to, "records are not taken", err)
	}
	return l.listed()
}

// arrived counts what was taken.
func (l *leg) arrived(docs int) {
	l.inRow = 0
	l.told(func(t *Leg) { t.Carried += int64(docs) })
}

// outbox gathers revisions for one request.
type outbox struct {
	leg  *leg
	docs []doc
	size int
}

func (o *outbox) add(ctx context.Context, d doc) error {
	if o.size+len(d.text) > sendBytes || len(o.docs) >= sendDocs {
		if err := o.flush(ctx); err != nil {
			return err
		}
	}
	o.docs = append(o.docs, d)
	o.size += len(d.text)
	return nil
}

func (o *outbox) flush(ctx context.Context) error {
	if len(o.docs) == 0 {
		return nil
	}
	docs := o.docs
	o.docs, o.size = nil, 0
	return o.leg.send(ctx, docs)
}

// send brings revisions to the target; where it does not take them together, half of them at a time.
func (l *leg) send(ctx context.Context, docs []doc) error {
	rows, err := l.to.take(ctx, docs)
	if err != nil {
		if !blames(err) && !(l.careful && doubtful(err)) {
			return at(l.to, "records cannot be sent", err)
		}
		if len(docs) > 1 {
			if err := l.send(ctx, docs[:len(docs)/2]); err != nil {
				return err
			}
			return l.send(ctx, docs[len(docs)/2:])
		}
		return l.suspect(ctx, docs[0].id, docs[0].rev, err)
	}
	bad := make(map[string]refusal, len(rows))
	for _, row := range rows {
		if !row.final() && !l.careful {
			return at(l.to, "records cannot be sent", row.fault())
		}
		bad[row.ID] = row
	}
	if n := len(docs) - len(bad); n > 0 {
		l.arrived(n)
	}
	for _, d := range docs {
		row, no := bad[d.id]
		switch {
		case !no:
			continue
		case row.final():
			err = l.setAside(d.id, d.rev, "it answers "+row.Error+": "+row.Reason)
		default:
			err = l.suspect(ctx, d.id, d.rev, row.fault())
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// suspect sets a record aside that was not taken alone, unless the end may be at fault itself: one
// that takes not even a note.
func (l *leg) suspect(ctx context.Context, id, rev string, cause error) error {
	if !blames(cause) {
		if l.inRow++; l.inRow > refusedInRow {
			return at(l.to, "so many records in a row are not taken that it is no fault of theirs", cause)
		}
		probe, err := l.to.note(ctx, l.name+"-probe")
		if err == nil {
			err = l.to.keep(ctx, l.name+"-probe", &probe)
		}
		if err != nil {
			return at(l.to, "records cannot be sent", err)
		}
	}
	return l.setAside(id, rev, cause.Error())
}

// unread sets a record aside that could not be read alone, unless its end may be at fault itself.
func (l *leg) unread(ctx context.Context, id string, cause error) error {
	if !blames(cause) {
		if l.inRow++; l.inRow > refusedInRow {
			return at(l.from, "so many records in a row cannot be read that it is no fault of theirs", cause)
		}
		if _, err := l.from.identity(ctx); err != nil {
			return at(l.from, "records cannot be read", err)
		}
	}
	return l.setAside(id, "", "it cannot be read where it is: "+cause.Error())
}
