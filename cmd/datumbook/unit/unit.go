// Package unit is the systemd unit of the office: 'datumbook service install' writes it, and so does
// the Debian package.
package unit

import (
	"errors"
	"fmt"
	"net"
	"strconv"
	"strings"
)

const (
	Name = "datumbook.service"  // of the unit
	User = "datumbook"          // the user that the office runs as, and its group
	Data = "/var/lib/datumbook" // where the records are unless another folder is named
)

// Unit is what the unit says.
type Unit struct {
	Program string   // path of the program
	Data    string   // folder of the records; absolute
	Args    []string // the further flags of serve
}

const head = `# Written by Datumbook. 'datumbook service install' writes it anew; 'systemctl edit datumbook' adds to it.
[Unit]
Description=Datumbook office
After=network-online.target
Wants=network-online.target

[Service]
User=` + User + "\n"

// What the office may do: write its own folder, and nothing else of the machine.
const tail = `Restart=on-failure
RestartSec=5
TimeoutStopSec=30
NoNewPrivileges=yes
ProtectSystem=strict
ProtectHome=yes
PrivateTmp=yes
%s
[Install]
WantedBy=multi-user.target
`

// Text gives the unit file.
func (u Unit) Text() (string, error) {
	words := append([]string{u.Program, "serve", "--data", u.Data}, u.Args...)
	quoted := make([]string, len(words))
	for i, w := range words {
		q, err := quote(w, "$$")
		if err != nil {
			return "", err
		}
		quoted[i] = q
	}
	folder := "StateDirectory=datumbook\nStateDirectoryMode=0700\n"
	if u.Data != Data {
		path, err := quote(u.Data, "$") // no variables there
		if err != nil {
			return "", err
		}
		folder = "ReadWritePaths=" + path + "\n"
	}
	allowed := ""
	if lowPort(u.Args) {
		allowed = "AmbientCapabilities=CAP_NET_BIND_SERVICE\n"
	}
	return head + folder + "ExecStart=" + strings.Join(quoted, " ") + "\n" + fmt.Sprintf(tail, allowed), nil
}

// lowPort reports whether the flags name a port that only the superuser may listen on.
func lowPort(args []string) bool {
	for i, a := range args[:max(0, len(args)-1)] {
		if a != "--addr" && a != "--start-addr" {
			continue
		}
		_, text, _ := net.SplitHostPort(args[i+1])
		if port, err := strconv.Atoi(text); err == nil && port > 0 && port < 1024 {
			return true
		}
	}
	return false
}

// plain are the letters that systemd takes as they are (systemd.service(5), systemd.syntax(7)).
const plain = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./:,=+@~[]"

// quote writes a word so that systemd reads it back as it is: % would begin a specifier and, in a
// command, $ a variable.
func quote(word, dollar string) (string, error) {
	if strings.ContainsAny(word, "\n\r\x00") {
		return "", errors.New("a line break cannot stand in a path or a flag of the service")
	}
	if word != "" && strings.Trim(word, plain) == "" {
		return word, nil
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, `%`, `%%`, `$`, dollar).Replace(word) + `"`, nil
}

// Parse gives back what Text was made from. It reads units that Text wrote, and is no reader of others.
func Parse(text string) (Unit, error) {
	var u Unit
	for line := range strings.Lines(text) {
		rest, ok := strings.CutPrefix(strings.TrimRight(line, "\n"), "ExecStart=")
		if !ok {
			continue
		}
		words, err := split(rest)
		if err != nil {
			return u, err
		}
		if len(words) < 4 || words[1] != "serve" || words[2] != "--data" {
			break
		}
		return Unit{words[0], words[3], words[4:]}, nil
	}
	return u, errors.New("it does not start Datumbook as 'datumbook service install' writes it")
}

// split reads the words of a line that quote wrote.
func split(line string) (words []string, err error) {
	var word strings.Builder
	in, quoted := false, false
	end := func() {
		if in {
			words = append(words, word.String())
			word.Reset()
			in = false
		}
	}
	for i := 0; i < len(line); i++ {
		switch c := line[i]; {
		case c == ' ' && !quoted:
			end()
		case c == '"':
			quoted, in = !quoted, true
		case quoted && strings.IndexByte(`\%$`, c) >= 0:
			if i++; i == len(line) {
				return nil, errors.New("its line ends too early")
			}
			word.WriteByte(line[i])
		default:
			word.WriteByte(c)
			in = true
		}
	}
	if quoted {
		return nil, errors.New("a quotation does not end")
	}
	end()
	return words, nil
}
