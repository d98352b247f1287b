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

// startFile is a start-up file, of either sort.
type startFile struct {
	path string
	keys map[string]json.RawMessage
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
			return nil, f.wrong(key, "set", "CURVE encryption is not offered; start the kernel without it")
		}
	}
	return f, nil
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

func (f *startFile) connection() (c Connection, err error) {
	f.address(&err, "ip", &c.Transport, &c.IP)
	f.port(&err, "shell_port", &c.Shell)
	f.port(&err, "control_port", &c.Control)
	f.port(&err, "stdin_port", &c.Stdin)
	f.port(&err, "iopub_port", &c.IOPub)
	f.port(&err, "hb_port", &c.Heartbeat)
	f.signing(&err, &c.Key, &c.Scheme)
	f.text(&err, "kernel_name", &c.KernelName, "")
	return c, err
}

func (f *startFile) registration() (r registration, err error) {
	f.text(&err, "kernel_id", &r.kernelID)
	f.address(&err, "registration_ip", &r.transport, &r.ip)
	f.port(&err, "registration_port", &r.port)
	f.signing(&err, &r.key, &r.scheme)
	if err == nil && (r.kernelID == "" || strings.ContainsAny(r.kernelID, `/\`) || strings.HasPrefix(r.kernelID, ".")) {
		err = f.wrong("kernel_id", r.kernelID, "it must serve as part of a file name")
	}
	return r, err
}

func (f *startFile) address(err *error, ipKey string, transport, ip *string) {
	f.text(err, "transport", transport, "tcp")
	f.text(err, ipKey, ip)
	switch {
	case *err != nil:
	case *transport != "tcp" && *transport != "ipc":
		*err = f.wrong("transport", *transport, "want tcp or ipc")
	case *ip == "" || *ip == "*":
		*err = f.wrong(ipKey, *ip, "want one address; the kernel does not listen on all of them unasked")
	}
}

func (f *startFile) signing(err *error, key, scheme *string) {
	f.text(err, "key", key)
	f.text(err, "signature_scheme", scheme, wire.DefaultScheme)
	if *err != nil {
		return
	}
	if _, bad := wire.NewCodec(*scheme, *key); bad != nil {
		*err = f.wrong("signature_scheme", *scheme, bad.Error())
	}
}

// text reads a string unless *err is set already; without a fallback the key must be there.
func (f *startFile) text(err *error, key string, into *string, fallback ...string) {
	raw, ok := f.keys[key]
	switch {
	case *err != nil:
	case !ok && len(fallback) > 0:
		*into = fallback[0]
	case !ok:
		*err = fmt.Errorf("connection file %s: no key %q", f.path, key)
	case json.Unmarshal(raw, into) != nil:
		*err = f.wrong(key, string(raw), "want a string")
	}
}

// port reads a port number, which may be written as a string (JEP 106 allows it).
func (f *startFile) port(err *error, key string, into *int) {
	raw, ok := f.keys[key]
	if *err != nil {
		return
	}
	if !ok {
		*err = fmt.Errorf("connection file %s: no key %q", f.path, key)
		return
	}
	n, bad := strconv.Atoi(strings.Trim(string(raw), `"`))
	if bad != nil || n < 1 || n > 65535 {
		*err = f.wrong(key, string(raw), "want a port from 1 to 65535")
	}
	*into = n
}

func (f *startFile) wrong(key, value, why string) error {
	return fmt.Errorf("connection file %s: %s is %q: %s", f.path, key, value, why)
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
