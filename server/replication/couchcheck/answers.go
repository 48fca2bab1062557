package couchcheck

import (
	"encoding/json"
	"fmt"
)

// Asked is a document that _bulk_get was asked for.
type Asked struct{ ID, Rev string }

// BulkGet reads the answer of _bulk_get: an object with results and nothing else, a row for each that
// was asked for in the same order, one document in each.
func BulkGet(asked []Asked, body []byte) ([]Doc, error) {
	var answer map[string]json.RawMessage
	if err := decode(body, &answer); err != nil {
		return nil, err
	}
	if len(answer) != 1 || answer["results"] == nil {
		return nil, fmt.Errorf("the answer has other members than results: %s", body)
	}
	var rows []struct {
		ID   string
		Docs []map[string]json.RawMessage
	}
	if err := decode(answer["results"], &rows); err != nil {
		return nil, err
	}
	if len(rows) != len(asked) {
		return nil, fmt.Errorf("%d rows for %d documents", len(rows), len(asked))
	}
	var out []Doc
	for i, row := range rows {
		if row.ID != asked[i].ID || len(row.Docs) != 1 || len(row.Docs[0]) != 1 || row.Docs[0]["ok"] == nil {
			return nil, fmt.Errorf("row %d is not the one document %q", i, asked[i].ID)
		}
		d, err := Read(row.Docs[0]["ok"])
		if err != nil {
			return nil, fmt.Errorf("row %d: %w", i, err)
		}
		out = append(out, d)
	}
	return out, nil
}

// Change is a row of _changes.
type Change struct {
	ID   string
	Revs []string
	Seq  json.RawMessage
}

// Changes reads the answer of _changes.
func Changes(body []byte) (rows []Change, last string, err error) {
	var answer struct {
		Results []struct {
			ID      *string
			Seq     json.RawMessage
			Changes []struct{ Rev string }
		}
		Last json.RawMessage `json:"last_seq"`
	}
	if err := decode(body, &answer); err != nil {
		return nil, "", err
	}
	if answer.Results == nil || answer.Last == nil {
		return nil, "", fmt.Errorf("results or last_seq is lacking: %s", body)
	}
	for i, r := range answer.Results {
		if r.ID == nil || r.Seq == nil || len(r.Changes) == 0 {
			return nil, "", fmt.Errorf("row %d lacks id, seq or changes", i)
		}
		row := Change{ID: *r.ID, Seq: r.Seq}
		for _, c := range r.Changes {
			if err := checkRev(c.Rev); err != nil {
				return nil, "", fmt.Errorf("row %d: %w", i, err)
			}
			row.Revs = append(row.Revs, c.Rev)
		}
		rows = append(rows, row)
	}
	return rows, string(answer.Last), nil
}

// RevsDiff reads the answer of _revs_diff.
func RevsDiff(body []byte) (missing map[string][]string, err error) {
	var answer map[string]struct {
		Missing   []string
		Ancestors []string `json:"possible_ancestors"`
	}
	if err := decode(body, &answer); err != nil {
		return nil, err
	}
	missing = map[string][]string{}
	for id, row := range answer {
		for _, rev := range append(row.Missing, row.Ancestors...) {
			if err := checkRev(rev); err != nil {
				return nil, fmt.Errorf("%s: %w", id, err)
			}
		}
		missing[id] = row.Missing
	}
	return missing, nil
}

// Failed is a document that _bulk_docs did not take.
type Failed struct{ ID, Rev, Error, Reason string }

// BulkDocs reads the answer of _bulk_docs and gives the rows that say an error.
func BulkDocs(status int, body []byte) (errors []Failed, err error) {
	if status != 201 {
		return nil, fmt.Errorf("status %d ends the replication", status)
	}
	var rows []Failed
	if err := decode(body, &rows); err != nil {
		return nil, err
	}
	for _, row := range rows {
		if row.Error == "" {
			continue
		}
		if row.ID == "" || row.Reason == "" {
			return nil, fmt.Errorf("the row %v does not say which document, or why", row)
		}
		errors = append(errors, row)
	}
	return errors, nil
}

// Saved reads the answer to a document that was put, and gives its revision.
func Saved(status int, body []byte) (rev string, err error) {
	var answer struct{ Rev string }
	if status != 200 && status != 201 && status != 202 {
		return "", fmt.Errorf("status %d: %s", status, body)
	}
	if err := decode(body, &answer); err != nil {
		return "", err
	}
	return answer.Rev, checkRev(answer.Rev)
}

// NoSession reads the answer to the question for a session: this, and then Basic is used.
func NoSession(status int, body []byte) error {
	var answer struct{ Error, Reason string }
	if err := decode(body, &answer); err != nil {
		return err
	}
	if status != 404 || answer.Error != "not_found" {
		return fmt.Errorf("status %d (%s) ends the replication, where 404 makes it use Basic", status, body)
	}
	return nil
}
