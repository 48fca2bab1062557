package wasmbuild

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// program uses all that the runtime reads its tables for: stacks that grow, the collector walking
// them, goroutines that yield, a panic recovered through several frames, and one that ends the
// program.
const program = `package main

import (
	"errors"
	"os"
	"runtime"
	"strconv"
)

type node struct{ left, right *node; pad [3]int }

func grow(depth int) (*node, int) {
	var room [64]int
	if depth == 0 {
		runtime.GC()
		return &node{}, 1
	}
	n, sum := grow(depth - 1)
	room[depth%64] = depth
	return &node{left: n, right: &node{}}, sum + room[depth%64]
}

func deep(n int) {
	if n == 0 {
		var p *node
		println(p.pad[0])
	}
	defer func() { n++ }()
	deep(n - 1)
}

func caught() (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = errors.New(r.(error).Error())
		}
	}()
	deep(50)
	return nil
}

func main() {
	_, sum := grow(3000)
	os.Stdout.WriteString(strconv.Itoa(sum) + "\n")
	done := make(chan int)
	for i := range 20 {
		go func() { runtime.Gosched(); _, s := grow(100 + i); done <- s }()
	}
	total := 0
	for range 20 {
		total += <-done
	}
	os.Stdout.WriteString(strconv.Itoa(total) + "\n" + caught().Error() + "\n")
	panic("the end")
}
`

// TestLeanProgramRunsTheSame runs one program before and after in Node.
func TestLeanProgramRunsTheSame(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "main.go"), []byte(program), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "go.mod"), []byte("module lean\n\ngo 1.26\n"), 0o600))
	full := filepath.Join(dir, "full.wasm")
	_, err := run(context.Background(), dir, Env(), append(append([]string{"build"}, Flags()...), "-o", full, ".")...)
	require.NoError(t, err)
	linked, err := os.ReadFile(full)
	require.NoError(t, err)
	packed, err := repack(linked, lean)
	require.NoError(t, err)
	thin := filepath.Join(dir, "thin.wasm")
	require.NoError(t, os.WriteFile(thin, packed, 0o600))

	before, trace, code := inNode(t, full)
	require.Equal(t, "4501501\n", before[:8], "1 + the sum of 1 to 3000")
	after, leanTrace, leanCode := inNode(t, thin)
	assert.Equal(t, before, after)
	assert.Equal(t, code, leanCode)
	assert.NotZero(t, leanCode, "a panic still ends the program")
	assert.Contains(t, trace, "main.main")
	assert.Contains(t, leanTrace, "panic: the end")
	assert.NotContains(t, leanTrace, "main.main", "names are blanked")

	_, err = repack(packed, lean)
	assert.ErrorIs(t, err, errModule, "a second time is refused")
	unfolds(t, linked, thin)
}

// unfolds compares what the start function writes into memory with the tables as they were linked.
func unfolds(t *testing.T, linked []byte, thin string) {
	var list []segment
	_, err := repack(linked, func(s []segment) ([]byte, error) { list = s; return nil, nil })
	require.NoError(t, err)
	was, err := find(list)
	require.NoError(t, err)
	pieces := int(was.module[atHighest]-was.module[atLowest]+pieceSize-1) / pieceSize
	size := len(was.header)
	image := filepath.Join(t.TempDir(), "image")
	const script = `const [module, to] = process.argv.slice(1);
const fs = require("fs");
const code = new WebAssembly.Module(fs.readFileSync(module));
const imports = {};
for (const { module, name } of WebAssembly.Module.imports(code)) (imports[module] ??= {})[name] = () => {};
fs.writeFileSync(to, new Uint8Array(new WebAssembly.Instance(code, imports).exports.mem.buffer));`
	out, err := exec.Command("node", "-e", script, thin, image).CombinedOutput()
	require.NoError(t, err, "%s", out)
	memory, err := os.ReadFile(image)
	require.NoError(t, err)

	buckets := bucketSize*(pieces-1) + 4
	at := int(was.module[atBuckets])
	assert.True(t, bytes.Equal(was.buckets[:buckets], memory[at:at+buckets]), "where code begins")
	is := *was
	is.header = memory[was.head : was.head+size]
	is.funcs = make([]fn, was.count)
	for i := range is.funcs {
		require.NoError(t, is.read(i))
		f := was.funcs[i]
		for _, n := range []int{ofName, ofFile, ofLine, ofUnit, ofStart} {
			f[n] = 0
		}
		require.Equal(t, f, is.funcs[i], "function %d", i)
	}
	last := was.finder + 8*was.count
	assert.Equal(t, was.header[last:last+4], is.header[last:last+4], "where the last one ends")
}

func inNode(t *testing.T, module string) (out, complaints string, code int) {
	exe, err := Exec(context.Background(), ".")
	require.NoError(t, err)
	cmd := exec.Command("node", "--stack-size=8192", filepath.Join(filepath.Dir(exe), "wasm_exec_node.js"), module)
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	err = cmd.Run()
	if _, ended := errors.AsType[*exec.ExitError](err); err != nil && !ended {
		require.NoError(t, err)
	}
	return stdout.String(), stderr.String(), cmd.ProcessState.ExitCode()
}

// TestLeanRefusesAnotherLayout: another table layout, as of a newer toolchain, is an error and
// leaves the bytes unchanged.
func TestLeanRefusesAnotherLayout(t *testing.T) {
	header := func(words ...byte) []byte {
		b := bytes.Clone(pclnMagic)
		for _, w := range words {
			b = append(b, w, 0, 0, 0, 0, 0, 0, 0)
		}
		return append(b, make([]byte, 100)...)
	}
	for name, list := range map[string][]segment{
		"no table":     {{0, []byte("nothing of the kind")}},
		"cut short":    {{0, pclnMagic}},
		"no functions": {{0, header(0, 1, 0, 72, 73, 74, 75, 76)}},
		"out of order": {{0, header(1, 1, 0, 72, 71, 74, 75, 76)}},
		"too many":     {{0, header(200, 1, 0, 72, 73, 74, 75, 76)}},
		"two tables":   {{0, append(header(1), pclnMagic...)}},
	} {
		_, err := lean(list)
		assert.ErrorIs(t, err, errModule, name)
	}
}
