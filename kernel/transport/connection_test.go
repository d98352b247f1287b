package transport

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/go-zeromq/zmq4"

	"foreplane/kernel/wire"
)

const goodFile = `{"shell_port": 50001, "iopub_port": "50002", "stdin_port": 50003, "control_port": 50004, "hb_port": 50005, "ip": "127.0.0.1",
	"transport": "tcp", "key": "k", "signature_scheme": "hmac-sha256", "kernel_name": "go", "jupyter_session": "x.ipynb", "curve_publickey": null}`

func writeFile(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "start.json")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestReadConnection(t *testing.T) {
	got, err := ReadConnection(writeFile(t, goodFile))
	want := Connection{Transport: "tcp", IP: "127.0.0.1", Shell: 50001, IOPub: 50002, Stdin: 50003, Control: 50004, Heartbeat: 50005,
		Key: "k", Scheme: "hmac-sha256", KernelName: "go"}
	if err != nil || got != want {
		t.Errorf("got %+v, %v", got, err)
	}
	short := writeFile(t, strings.NewReplacer(`"transport": "tcp", `, "", `"signature_scheme": "hmac-sha256", `, "", `"kernel_name": "go", `, "").Replace(goodFile))
	want.KernelName = ""
	if got, err := ReadConnection(short); err != nil || got != want {
		t.Errorf("without optional keys: %+v, %v", got, err)
	}
}

func TestReadConnectionRefuses(t *testing.T) {
	for _, tt := range []struct{ old, new, want string }{
		{goodFile, `[]`, "cannot unmarshal array"},
		{goodFile, `{"ip":`, "unexpected end"},
		{`"shell_port": 50001, `, ``, `no key "shell_port"`},
		{`50001`, `70000`, `shell_port is "70000": want a port from 1 to 65535`},
		{`50001`, `0`, `shell_port is "0"`},
		{`50001`, `null`, `shell_port is "null"`},
		{`"50002"`, `"x"`, `iopub_port is "\"x\""`},
		{`"transport": "tcp"`, `"transport": "udp"`, `transport is "udp": want tcp or ipc`},
		{`"127.0.0.1"`, `""`, `ip is ""`},
		{`"127.0.0.1"`, `"*"`, `ip is "*"`},
		{`"127.0.0.1"`, `7`, `ip is "7": want a string`},
		{`"key": "k", `, ``, `no key "key"`},
		{`hmac-sha256`, `hmac-sha1`, `signature_scheme is "hmac-sha1"`},
		{`"curve_publickey": null`, `"curve_secretkey": "x"`, "CURVE encryption is not offered"},
	} {
		path := writeFile(t, strings.Replace(goodFile, tt.old, tt.new, 1))
		_, err := ReadConnection(path)
		if err == nil || !strings.Contains(err.Error(), tt.want) || !strings.Contains(err.Error(), path) {
			t.Errorf("%s -> %s: error %v, want %s", tt.old, tt.new, err, tt.want)
		}
	}
	if _, err := ReadConnection("/nonexistent/file.json"); err == nil || !strings.Contains(err.Error(), "/nonexistent/file.json") {
		t.Errorf("missing file: %v", err)
	}
}

// launcher is the other side of a registration: a ROUTER socket that answers the first message with what answer makes of its frames.
func launcher(t *testing.T, answer func(frames [][]byte) [][]byte) (file string, got chan [][]byte) {
	t.Helper()
	router := zmq4.NewRouter(t.Context())
	t.Cleanup(func() { router.Close() })
	if err := router.Listen("tcp://127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	got = make(chan [][]byte, 1)
	go func() {
		m, err := router.Recv()
		if err != nil {
			return
		}
		got <- m.Frames[1:]
		if frames := answer(m.Frames[1:]); frames != nil {
			router.SendMulti(zmq4.NewMsgFrom(append(m.Frames[:1:1], frames...)...))
		}
	}()
	port := router.Addr().(*net.TCPAddr).Port
	return writeFile(t, fmt.Sprintf(`{"kernel_id": "7a17", "transport": "tcp", "registration_ip": "127.0.0.1", "registration_port": "%d", "key": "%s"}`, port, testKey)), got
}

func TestRegistration(t *testing.T) {
	codec := newCodec(t)
	file, got := launcher(t, func([][]byte) [][]byte {
		return [][]byte{[]byte(wire.Delimiter), codec.Sign([]byte("ACK")), []byte("ACK")}
	})
	s, err := Open(t.Context(), file, nil)
	if err != nil {
		t.Fatal(err)
	}
	frames := <-got
	var report map[string]string
	if string(frames[0]) != wire.Delimiter || !codec.Verify(frames[1], frames[2]) || json.Unmarshal(frames[2], &report) != nil ||
		report["kernel_id"] != "7a17" || report["shell_port"] != fmt.Sprint(s.Connection().Shell) || report["hb_port"] != fmt.Sprint(s.Connection().Heartbeat) {
		t.Errorf("registration %q", frames)
	}
	own := filepath.Join(filepath.Dir(file), "kernel-7a17-connection.json")
	written, err := ReadConnection(own)
	if err != nil || written != s.Connection() {
		t.Errorf("own connection file %+v, %v, want %+v", written, err, s.Connection())
	}
	if info, err := os.Stat(own); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("mode of the own connection file: %v, %v", info, err)
	}
	s.Serve(echoes(t, func() endpoint { return s }))
	peer := dial(t, written, "peer")
	if err := peer.Send(wire.Shell, request(t, newAuthor(t), nil)); err != nil {
		t.Fatal(err)
	}
	receive(t, peer, wire.Shell)
	for range 2 {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}
	if _, err := os.Stat(own); !os.IsNotExist(err) {
		t.Errorf("the own connection file outlives the server: %v", err)
	}
}

// TestRegistrationRefused holds that nothing but a signed acknowledgement counts, and that a launcher that goes away ends the wait.
func TestRegistrationRefused(t *testing.T) {
	leave := make(chan net.Conn, 1)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	go func() {
		conn, err := l.Accept()
		if err != nil {
			return
		}
		unsigned := "\x01\x09" + wire.Delimiter + "\x01\x04beef\x00\x03ACK"
		io.WriteString(conn, greeting+ready("ROUTER", "")+unsigned)
		io.CopyN(io.Discard, conn, 200) // the kernel's greeting, READY and the start of its registration
		leave <- conn
	}()
	go func() { (<-leave).Close() }()
	file := writeFile(t, fmt.Sprintf(`{"kernel_id": "k", "registration_ip": "127.0.0.1", "registration_port": %d, "key": "%s"}`, l.Addr().(*net.TCPAddr).Port, testKey))
	if s, err := Open(t.Context(), file, nil); err == nil || !strings.Contains(err.Error(), "no acknowledgement") {
		t.Errorf("server %v, error %v", s, err)
	}
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(file), "kernel-*")); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestRegistrationFileRefused(t *testing.T) {
	good := `{"kernel_id": "k", "registration_ip": "127.0.0.1", "registration_port": 1, "key": ""}`
	for _, tt := range []struct{ old, new, want string }{
		{`"k"`, `"../k"`, "kernel_id is"},
		{`"k"`, `""`, "kernel_id is"},
		{`"registration_ip": "127.0.0.1", `, ``, `no key "registration_ip"`},
		{`"registration_port": 1`, `"registration_port": -1`, `registration_port is "-1"`},
		{``, ``, "connection refused"},
	} {
		if _, err := Open(t.Context(), writeFile(t, strings.Replace(good, tt.old, tt.new, 1)), nil); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s -> %s: %v, want %s", tt.old, tt.new, err, tt.want)
		}
	}
}

func TestOpenConnectionFile(t *testing.T) {
	c := ipcConnection(t)
	c.Shell, c.Control, c.Stdin, c.IOPub, c.Heartbeat = 1, 2, 3, 4, 5
	path := filepath.Join(t.TempDir(), "kernel.json")
	if err := c.write(path); err != nil {
		t.Fatal(err)
	}
	s, err := Open(t.Context(), path, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if s.Connection() != c {
		t.Errorf("%+v, want %+v", s.Connection(), c)
	}
	text, _ := os.ReadFile(path)
	if !bytes.Contains(text, []byte(`"hb_port": 5`)) {
		t.Errorf("file %s", text)
	}
}
