package transport

import (
	"testing"
	"testing/synctest"

	"foreplane/kernel/wire"
)

// TestMemoryCloses holds that messages still waiting for their handler at Close are not delivered.
func TestMemoryCloses(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		m, handled, release := NewMemory(), 0, make(chan bool)
		m.Serve(Handlers{Message: func(wire.Channel, *wire.Message) {
			handled++
			<-release
		}})
		c, author := m.Dial("peer"), newAuthor(t)
		for range 2 {
			if err := c.Send(wire.Shell, request(t, author, nil)); err != nil {
				t.Fatal(err)
			}
		}
		synctest.Wait()
		m.Close()
		close(release)
		synctest.Wait()
		if handled != 1 {
			t.Errorf("%d messages handled", handled)
		}
	})
}

// TestMemoryRefuses holds that mistakes of a test or of the kernel core do not pass in silence.
func TestMemoryRefuses(t *testing.T) {
	m := NewMemory()
	m.Dial("peer").Subscribe("")
	for name, mistake := range map[string]func(){
		"no identity":        func() { m.Dial("") },
		"taken identity":     func() { m.Dial("peer") },
		"unreadable message": func() { m.Send(wire.IOPub, &wire.Message{Identities: [][]byte{nil}, Content: []byte("[]")}) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			mistake()
		}()
	}
}

// TestMemoryGone holds that the kernel is told of clients that go.
func TestMemoryGone(t *testing.T) {
	m := NewMemory()
	defer m.Close()
	gone := ""
	m.Serve(Handlers{Gone: func(identity string) { gone += identity }})
	m.Dial("ann")
	m.Dial("bob").Close()
	if gone != "bob" {
		t.Errorf("gone: %q", gone)
	}
}
