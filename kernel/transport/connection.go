package transport

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"foreplane/kernel/wire"
)

// Connection says where the five sockets are and how messages are signed: the content of a connection file.
type Connection struct {
	Transport  string `json:"transport"` // tcp or ipc
	IP         string `json:"ip"`        // for ipc, the part of the path before "-port"
	Shell      int    `json:"shell_port"`
	Control    int    `json:"control_port"`
	Stdin      int    `json:"stdin_port"`
	IOPub      int    `json:"iopub_port"`
	Heartbeat  int    `json:"hb_port"`
	Key        string `json:"key"`
	Scheme     string `json:"signature_scheme"`
	KernelName string `json:"kernel_name,omitempty"`
}

// registration is the content of a registration file (JEP 66): where to report the ports that were found free.
type registration struct {
	kernelID, transport, ip string
	port                    int
	key, scheme             string
}

// startFile is a start-up file, of either sort. It keeps the first error met while its keys are read.
type startFile struct {
	path string
	keys map[string]json.RawMessage
	err  error
}

func readStartFile(path string) (*startFile, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("connection file: %w", err)
	}
	f := &startFile{path: path}
	if err := json.Unmarshal(text, &f.keys); err != nil {
		return nil, fmt.Errorf("connection file %s: %w", path, err)
	}
	for key, value := range f.keys {
		if strings.HasPrefix(key, "curve_") && string(value) != "null" && string(value) != `""` {
			f.fail(key, "set", "CURVE encryption is not offered; start the kernel without it")
		}
	}
	return f, f.err
}

// ReadConnection reads a connection file. Keys it does not know are ignored.
func ReadConnection(path string) (Connection, error) {
	f, err := readStartFile(path)
	if err != nil {
		return Connection{}, err
	}
	return f.connection()
}

func (f *startFile) isRegistration() bool {
	_, ok := f.keys["registration_port"]
	return ok
}

func (f *startFile) connection() (Connection, error) {
	var c Connection
	f.address("ip", &c.Transport, &c.IP)
	f.port("shell_port", &c.Shell)
	f.port("control_port", &c.Control)
	f.port("stdin_port", &c.Stdin)
	f.port("iopub_port", &c.IOPub)
	f.port("hb_port", &c.Heartbeat)
	f.signing(&c.Key, &c.Scheme)
	f.text("kernel_name", &c.KernelName, "")
	return c, f.err
}

func (f *startFile) registration() (registration, error) {
	var r registration
	f.text("kernel_id", &r.kernelID)
	f.address("registration_ip", &r.transport, &r.ip)
	f.port("registration_port", &r.port)
	f.signing(&r.key, &r.scheme)
	if r.kernelID == "" || strings.ContainsAny(r.kernelID, `/\`) || strings.HasPrefix(r.kernelID, ".") {
		f.fail("kernel_id", r.kernelID, "it must serve as part of a file name")
	}
	return r, f.err
}

func (f *startFile) address(ipKey string, transport, ip *string) {
	f.text("transport", transport, "tcp")
	f.text(ipKey, ip)
	if *transport != "tcp" && *transport != "ipc" {
		f.fail("transport", *transport, "want tcp or ipc")
	}
	if *ip == "" || *ip == "*" {
		f.fail(ipKey, *ip, "want one address; the kernel does not listen on all of them unasked")
	}
}

func (f *startFile) signing(key, scheme *string) {
	f.text("key", key)
	f.text("signature_scheme", scheme, wire.DefaultScheme)
	if _, err := wire.NewCodec(*scheme, *key); err != nil {
		f.fail("signature_scheme", *scheme, err.Error())
	}
}

// text reads a string; without a fallback the key must be there.
func (f *startFile) text(key string, into *string, fallback ...string) {
	raw, ok := f.keys[key]
	switch {
	case !ok && len(fallback) > 0:
		*into = fallback[0]
	case !ok:
		f.missing(key)
	case json.Unmarshal(raw, into) != nil:
		f.fail(key, string(raw), "want a string")
	}
}

// port reads a port number, which may be written as a string (JEP 106 allows it).
func (f *startFile) port(key string, into *int) {
	raw, ok := f.keys[key]
	if !ok {
		f.missing(key)
		return
	}
	n, err := strconv.Atoi(strings.Trim(string(raw), `"`))
	if err != nil || n < 1 || n > 65535 {
		f.fail(key, string(raw), "want a port from 1 to 65535")
	}
	*into = n
}

func (f *startFile) fail(key, value, why string) {
	if f.err == nil {
		f.err = fmt.Errorf("connection file %s: %s is %q: %s", f.path, key, value, why)
	}
}

func (f *startFile) missing(key string) {
	if f.err == nil {
		f.err = fmt.Errorf("connection file %s: no key %q", f.path, key)
	}
}

// write stores the connection in a file that only its owner can read. Readers see the old file or the new one, never half of it.
func (c Connection) write(path string) error {
	text, err := json.MarshalIndent(c, "", "  ")
	if err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".connection-*") // mode 0600
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // fails once renamed
	if _, err := f.Write(text); err != nil {
		f.Close()
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
