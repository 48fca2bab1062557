package replication

import (
	"bytes"
	"compress/gzip"
	"crypto/md5"
	"encoding/json"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// zipped packs a text with gzip.
func zipped(t *testing.T, text string) string {
	t.Helper()
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	_, err := io.WriteString(z, text)
	require.NoError(t, err)
	require.NoError(t, z.Close())
	return b.String()
}

// couchText is a text as CouchDB 3.5.0 packed and sent it.
var couchText = "\x1f\x8b\x08\x00\x00\x00\x00\x00\x00\x03" +
	"\xcb\x48\xcd\xc9\xc9\x57\xc8\x18\x31\x24\x00\x9e\x50\x94\x7d\xf0\x00\x00\x00"

func digestOf(content string) string {
	sum := md5.Sum([]byte(content))
	return "md5-" + encode64(sum[:])
}

// carry replicates one document from an office to another as a CouchDB cluster does: it asks with
// atts_since for what it lacks, as multipart/mixed, and puts what comes as multipart/related. A stub
// that is refused is asked for again, without atts_since. It gives the number of content bytes sent
// and whether a stub was refused.
func carry(t *testing.T, from, to *office, id string) (sent int, refused bool) {
	t.Helper()
	rev := from.ask(t, "GET", "/jobs/"+id, "").at("_rev").(string)
	diff := to.ask(t, "POST", "/jobs/_revs_diff", fmt.Sprintf(`{%q:[%q]}`, id, rev))
	if diff.at(id+".missing") == nil {
		return 0, false
	}
	since, err := json.Marshal(diff.at(id + ".possible_ancestors"))
	require.NoError(t, err)
	path := "/jobs/" + id + "?revs=true&latest=true&open_revs=" + url.QueryEscape(`["`+rev+`"]`)
	got := from.ask(t, "GET", path+"&atts_since="+url.QueryEscape(strings.ReplaceAll(string(since), "null", "[]")), "",
		"Accept", "multipart/mixed")
	status, n := put(t, to, id, got)
	if status == 412 {
		got = from.ask(t, "GET", path+"&attachments=true", "", "Accept", "multipart/mixed")
		again, more := put(t, to, id, got)
		require.Equal(t, 201, again)
		return n + more, true
	}
	require.Equal(t, 201, status)
	return n, false
}

// put sends the first part of a multipart/mixed answer on, and gives the bytes of its attachments.
func put(t *testing.T, to *office, id string, got reply) (status, sent int) {
	t.Helper()
	require.Equal(t, 200, got.status, got.body)
	_, params, err := mime.ParseMediaType(got.header.Get("Content-Type"))
	require.NoError(t, err)
	part, err := multipart.NewReader(strings.NewReader(got.body), params["boundary"]).NextRawPart()
	require.NoError(t, err)
	kind := part.Header.Get("Content-Type")
	body, err := io.ReadAll(part)
	require.NoError(t, err)
	if _, params, err := mime.ParseMediaType(kind); err == nil && params["boundary"] != "" {
		mr := multipart.NewReader(bytes.NewReader(body), params["boundary"])
		_, err := mr.NextRawPart()
		require.NoError(t, err)
		for {
			p, err := mr.NextRawPart()
			if err != nil {
				require.ErrorIs(t, err, io.EOF)
				break
			}
			n, err := io.Copy(io.Discard, p)
			require.NoError(t, err)
			sent += int(n)
		}
	}
	return to.ask(t, "PUT", "/jobs/"+id+"?new_edits=false", string(body), "Content-Type", kind).status, sent
}

// A photo that is replaced by writing the record as it was read, with the old revpos beside the new
// data, is the new photo everywhere.
func TestReplacedPhotoIsTheSameEverywhere(t *testing.T) {
	from, to := mustOffice(t, "jobs"), mustOffice(t, "jobs")
	first, second := strings.Repeat("old photo ", 50), strings.Repeat("new photo ", 60)
	r := from.ask(t, "PUT", "/jobs/p", `{"n":1,"_attachments":{"photo":{"content_type":"image/jpeg","data":"`+
		encode64([]byte(first))+`"},"same":{"content_type":"image/jpeg","data":"c2FtZQ=="}}}`)
	require.Equal(t, 201, r.status, r.body)
	_, refused := carry(t, from, to, "p")
	assert.False(t, refused)

	r = from.ask(t, "PUT", "/jobs/p",
		fmt.Sprintf(`{"n":2,"_rev":%q,"_attachments":{"photo":{"content_type":"image/jpeg",`+
			`"revpos":1,"data":%q},"same":{"revpos":1,"data":"c2FtZQ=="}}}`, r.at("rev"), encode64([]byte(second))))
	require.Equal(t, 201, r.status, r.body)
	doc := from.ask(t, "GET", "/jobs/p", "")
	assert.EqualValues(t, 2, doc.at("_attachments.photo.revpos"), "new bytes, new generation")
	assert.EqualValues(t, 1, doc.at("_attachments.same.revpos"), "the same bytes keep theirs")
	sent, refused := carry(t, from, to, "p")
	assert.False(t, refused)
	assert.Equal(t, len(second), sent, "what the other has is not sent again")
	for _, o := range []*office{from, to} {
		got := o.ask(t, "GET", "/jobs/p", "")
		assert.Equal(t, doc.at("_rev"), got.at("_rev"))
		assert.Equal(t, digestOf(second), got.at("_attachments.photo.digest"))
		assert.EqualValues(t, 2, got.at("_attachments.photo.revpos"))
		assert.Equal(t, second, o.ask(t, "GET", "/jobs/p/photo", "").body)
		assert.Equal(t, "same", o.ask(t, "GET", "/jobs/p/same", "").body)
	}

	// A record changed by its text alone sends no photo, also where stubs say no digest.
	r = from.ask(t, "PUT", "/jobs/p", fmt.Sprintf(`{"n":3,"_rev":%q,"_attachments":{"photo":{"stub":true,"revpos":2},`+
		`"same":{"stub":true,"digest":%q}}}`, doc.at("_rev"), digestOf("same")))
	require.Equal(t, 201, r.status, r.body)
	sent, refused = carry(t, from, to, "p")
	assert.False(t, refused)
	assert.Zero(t, sent)
	assert.Equal(t, second, to.ask(t, "GET", "/jobs/p/photo", "").body)
}

// Offices of earlier versions kept the old revpos with the new bytes. Such a revision is given whole:
// what the other is proved to have is compared by its bytes.
func TestOldRevposIsNotTrusted(t *testing.T) {
	from, to := mustOffice(t, "jobs"), mustOffice(t, "jobs")
	doc := func(rev, ids, content string) string {
		return fmt.Sprintf(`{"new_edits":false,"docs":[{"_id":"p","_rev":%q,"_revisions":{"start":%c,"ids":[%s]},`+
			`"_attachments":{"photo":{"content_type":"image/jpeg","revpos":1,"data":%q}}}]}`, rev, rev[0], ids,
			encode64([]byte(content)))
	}
	require.Equal(t, "[]\n", from.ask(t, "POST", "/jobs/_bulk_docs", doc("1-a", `"a"`, "old")).body)
	carry(t, from, to, "p")
	require.Equal(t, "[]\n", from.ask(t, "POST", "/jobs/_bulk_docs", doc("2-b", `"b","a"`, "new")).body)
	assert.EqualValues(t, 1, from.ask(t, "GET", "/jobs/p", "").at("_attachments.photo.revpos"),
		"a sender's, which can be true")
	got := from.ask(t, "POST", "/jobs/_bulk_get?revs=true", `{"docs":[{"id":"p","rev":"2-b","atts_since":["1-a"]}]}`)
	assert.Equal(t, encode64([]byte("new")), got.at("results.0.docs.0.ok._attachments.photo.data"))
	carry(t, from, to, "p")
	assert.Equal(t, "new", to.ask(t, "GET", "/jobs/p/photo", "").body)

	// Where the ancestor's content is not kept any more nothing is proved.
	require.NoError(t, from.Store.Compact())
	got = from.ask(t, "GET", `/jobs/p?revs=true&atts_since=["1-a"]`, "")
	assert.Equal(t, encode64([]byte("new")), got.at("_attachments.photo.data"))
	got = from.ask(t, "GET", `/jobs/p?revs=true&atts_since=["2-b"]`, "")
	assert.Nil(t, got.at("_attachments.photo.data"))
}

// A stub stands for the bytes it names and for no others.
func TestStubsThatNameOtherBytes(t *testing.T) {
	o := mustOffice(t, "jobs")
	r := o.ask(t, "PUT", "/jobs/p",
		`{"_attachments":{"photo":{"content_type":"image/jpeg","data":"`+encode64([]byte("old"))+`"}}}`)
	one := r.at("rev").(string)
	r = o.ask(t, "PUT", "/jobs/p",
		fmt.Sprintf(`{"_rev":%q,"_attachments":{"photo":{"content_type":"image/jpeg","data":%q}}}`,
			one, encode64([]byte("new"))))
	two := r.at("rev").(string)
	ids := fmt.Sprintf("%q,%q", two[2:], one[2:])
	for name, c := range map[string]struct {
		stub string
		fine bool
	}{
		"a digest nobody has":       {`"digest":"` + digestOf("strange") + `"`, false},
		"a digest of no known form": {`"digest":"md5-short"`, false},
		"another generation":        {`"revpos":1`, false},
		"a digest under another name": {`"digest":"` + digestOf("new") + `"},"other":{"stub":true,"digest":"` +
			digestOf("new") + `"`, false},
		"the parent's":                 {`"digest":"` + digestOf("new") + `"`, true},
		"an older ancestor's":          {`"digest":"` + digestOf("old") + `","revpos":1`, true},
		"the parent's, by its revpos":  {`"revpos":2`, true},
		"the parent's, revpos of ours": {`"digest":"` + digestOf("new") + `","revpos":1`, true},
	} {
		t.Run(name, func(t *testing.T) {
			atts := `"_attachments":{"photo":{"stub":true,` + c.stub + `}}`
			hash := strings.Map(func(r rune) rune { return max('a', r) }, name[:10])
			push := o.ask(t, "POST", "/jobs/_bulk_docs", fmt.Sprintf(
				`{"new_edits":false,"docs":[{"_id":"p","_rev":"3-%s","_revisions":{"start":3,"ids":[%q,%s]},%s},{"_id":"q","_rev":"1-a"}]}`,
				hash, hash, ids, atts))
			require.Equal(t, 201, push.status)
			want := "new"
			if strings.Contains(c.stub, digestOf("old")) {
				want = "old"
			}
			if c.fine {
				require.Equal(t, "[]\n", push.body)
				assert.Equal(t, want, o.ask(t, "GET", "/jobs/p/photo?rev=3-"+hash, "").body)
			} else {
				assert.Equal(t, "forbidden", push.at("0.error"))
				assert.Contains(t, push.at("0.reason"), "missing_stub")
				one := o.ask(t, "PUT", "/jobs/p?new_edits=false",
					fmt.Sprintf(`{"_rev":"3-%s","_revisions":{"start":3,"ids":[%q,%s]},%s}`,
						hash, hash, ids, atts))
				assert.Equal(t, 412, one.status, one.body)
				assert.Equal(t, "missing_stub", one.at("error"))
			}
		})
	}
}

func TestEditsByStub(t *testing.T) {
	o := mustOffice(t, "jobs")
	rev := o.ask(t, "PUT", "/jobs/p", `{"_attachments":{"photo":{"data":"`+encode64([]byte("old"))+`"}}}`).at("rev")
	for _, stub := range []string{`"digest":"` + digestOf("strange") + `"`, `"revpos":7`, `"digest":"sha1-x"`} {
		r := o.ask(t, "PUT", "/jobs/p", fmt.Sprintf(`{"_rev":%q,"_attachments":{"photo":{"stub":true,%s}}}`, rev, stub))
		assert.Equal(t, 412, r.status, r.body)
		assert.Equal(t, "missing_stub", r.at("error"))
		r = o.ask(t, "POST", "/jobs/_bulk_docs",
			fmt.Sprintf(`{"docs":[{"_id":"p","_rev":%q,"_attachments":{"photo":{"stub":true,%s}}}]}`, rev, stub))
		assert.Equal(t, "missing_stub", r.at("0.error"), r.body)
	}
	r := o.ask(t, "PUT", "/jobs/p",
		fmt.Sprintf(`{"_rev":%q,"_attachments":{"photo":{"stub":true,"digest":%q,"revpos":1,"length":3}}}`,
			rev, digestOf("old")))
	assert.Equal(t, 201, r.status, r.body)
}

// An edit may go back to the photo of an older ancestor by naming its digest. Whoever has the parent
// has other bytes under that name: they are new ones to it, and say so by their generation.
func TestOlderPhotoByStubIsNew(t *testing.T) {
	o := mustOffice(t, "jobs")
	photo := func(rev, what string) reply {
		return o.ask(t, "PUT", "/jobs/p", `{"_rev":`+rev+`,"_attachments":{"photo":{`+what+`}}}`)
	}
	rev := photo("null", `"data":"`+encode64([]byte("old"))+`"`).at("rev")
	rev = photo(fmt.Sprintf("%q", rev), `"data":"`+encode64([]byte("new"))+`"`).at("rev")
	r := photo(fmt.Sprintf("%q", rev), fmt.Sprintf(`"stub":true,"digest":%q,"revpos":1`, digestOf("old")))
	require.Equal(t, 201, r.status, r.body)
	assert.Equal(t, "old", o.ask(t, "GET", "/jobs/p/photo", "").body)
	assert.EqualValues(t, 3, o.ask(t, "GET", "/jobs/p", "").at("_attachments.photo.revpos"))
	r = photo(fmt.Sprintf("%q", r.at("rev")), fmt.Sprintf(`"stub":true,"digest":%q`, digestOf("old")))
	require.Equal(t, 201, r.status, r.body)
	assert.EqualValues(t, 3, o.ask(t, "GET", "/jobs/p", "").at("_attachments.photo.revpos"), "the parent's own")
}

// The same revision with other attachments is other content: the first stays, the second is set
// aside for someone to look at.
func TestSameRevisionOtherAttachments(t *testing.T) {
	o := mustOffice(t, "jobs")
	push := func(atts string) {
		r := o.ask(t, "POST", "/jobs/_bulk_docs",
			`{"new_edits":false,"docs":[{"_id":"p","_rev":"1-a","_attachments":{`+atts+`}}]}`)
		assert.Equal(t, "[]\n", r.body)
	}
	for i, c := range []struct {
		atts    string
		refused int
	}{
		{`"photo":{"data":"b2xk"}`, 0},
		{`"photo":{"data":"b2xk"}`, 0},
		{`"photo":{"stub":true,"digest":"` + digestOf("old") + `"}`, 0},
		{`"photo":{"stub":true,"digest":"` + digestOf("new") + `"}`, 1},
	} {
		push(c.atts)
		refused, err := o.Store.Refused()
		require.NoError(t, err)
		assert.Len(t, refused, c.refused, "%d", i)
	}
	assert.Equal(t, "old", o.ask(t, "GET", "/jobs/p/photo", "").body)
}

// Bytes that are not those their sender names are refused, with the attachment's name.
func TestBytesThatAreNotThoseNamed(t *testing.T) {
	o := mustOffice(t, "jobs")
	zipped := zipped(t, "some text")
	for name, c := range map[string]struct {
		says, data string
		fine       bool
	}{
		"right":                          {`"digest":"` + digestOf("photo") + `","length":5`, "photo", true},
		"digest of other bytes":          {`"digest":"` + digestOf("other") + `"`, "photo", false},
		"digest cut off":                 {`"digest":"md5-AAAA"`, "photo", false},
		"digest that cannot be compared": {`"digest":"sha1-AAAA"`, "photo", true},
		"length":                         {`"length":6`, "photo", false},
		"packed": {`"encoding":"gzip","digest":"` + digestOf(zipped) + `","length":9`, zipped,
			true},
		"packed, digest of what is in it": {`"encoding":"gzip","digest":"` + digestOf("some text") + `"`, zipped, true},
		"packed, other digest":            {`"encoding":"gzip","digest":"` + digestOf("other") + `"`, zipped, false},
		"packed, length":                  {`"encoding":"gzip","length":8`, zipped, false},
		"packed, packed length": {fmt.Sprintf(`"encoding":"gzip","encoded_length":%d,"length":9`,
			len(zipped)), zipped, true},
		"packed, wrong packed length": {fmt.Sprintf(`"encoding":"gzip","encoded_length":%d`, len(zipped)-1),
			zipped, false},
		"as a CouchDB 3.5 sends it": {`"revpos":1,"digest":"md5-ThYQMrxSEPpjpXvy8OZ7TA==","length":240,"encoding":"gzip","encoded_length":29`,
			couchText, true},
		"packed, one length, for the other": {fmt.Sprintf(`"encoding":"gzip","length":%d`, len(zipped)), zipped, true},
	} {
		t.Run(name, func(t *testing.T) {
			id := strings.Map(func(r rune) rune { return max('a', r) }, name)
			inline := `"_attachments":{"photo":{"content_type":"image/jpeg",` + c.says + `,"data":"` +
				encode64([]byte(c.data)) + `"}}`
			follows := "--abc\r\nContent-Type: application/json\r\n\r\n" +
				`{"_rev":"1-a","_attachments":{"photo":{"content_type":"image/jpeg",` +
				c.says + `,"follows":true}}}` + "\r\n--abc\r\n\r\n" + c.data + "\r\n--abc--"
			for _, r := range []reply{
				o.ask(t, "PUT", "/jobs/1"+id, `{`+inline+`}`),
				o.ask(t, "PUT", "/jobs/2"+id+"?new_edits=false", `{"_rev":"1-a",`+inline+`}`),
				o.ask(t, "POST", "/jobs/_bulk_docs", `{"docs":[{"_id":"3`+id+`",`+inline+`}]}`),
				o.ask(t, "PUT", "/jobs/4"+id+"?new_edits=false", follows, "Content-Type",
					`multipart/related; boundary="abc"`),
			} {
				if c.fine {
					assert.Equal(t, 201, r.status, r.body)
					continue
				}
				assert.Equal(t, 400, r.status, r.body)
				assert.Contains(t, r.at("reason"), `attachment "photo"`)
			}
			r := o.ask(t, "POST", "/jobs/_bulk_docs",
				`{"new_edits":false,"docs":[{"_id":"5`+id+`","_rev":"1-a",`+inline+`},{"_id":"6`+id+`","_rev":"1-a"}]}`)
			if c.fine {
				assert.Equal(t, "[]\n", r.body)
			} else {
				require.Len(t, r.v, 1, r.body)
				assert.Equal(t, "forbidden", r.at("0.error"))
				assert.Equal(t, "5"+id, r.at("0.id"))
			}
			assert.Equal(t, 200, o.ask(t, "GET", "/jobs/6"+id, "").status)
		})
	}
	r := o.ask(t, "PUT", "/jobs/twice", `{"_attachments":{"a":{"data":""},"a":{"data":"AAAA"}}}`)
	assert.Equal(t, 400, r.status, r.body)
	assert.Contains(t, r.at("reason"), "twice")
}
