package transport

import (
	"os"
	"path/filepath"
	"testing"
)

// FuzzConnection verifies that no connection file makes its reader panic, and that what it accepts can be served.
func FuzzConnection(f *testing.F) {
	f.Add([]byte(`{"transport":"tcp","ip":"127.0.0.1","shell_port":1,"control_port":2,"stdin_port":3,"iopub_port":4,"hb_port":5,"key":"k","signature_scheme":"hmac-sha256"}`))
	f.Add([]byte(`{"transport":"ipc","ip":"kernel","shell_port":1,"control_port":2,"stdin_port":3,"iopub_port":4,"hb_port":5,"key":""}`))
	f.Add([]byte(`{"curve_publickey":"x"}`))
	f.Add([]byte(`{"shell_port":-1}`))
	path := filepath.Join(f.TempDir(), "connection.json")
	f.Fuzz(func(t *testing.T, text []byte) {
		if err := os.WriteFile(path, text, 0o600); err != nil {
			t.Fatal(err)
		}
		c, err := ReadConnection(path)
		if err != nil {
			return
		}
		for _, port := range []int{c.Shell, c.Control, c.Stdin, c.IOPub, c.Heartbeat} {
			if port < 0 || port > 65535 {
				t.Errorf("accepted port %d", port)
			}
		}
		if c.Transport != "tcp" && c.Transport != "ipc" {
			t.Errorf("accepted transport %q", c.Transport)
		}
	})
}
