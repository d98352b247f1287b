package transport

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"github.com/go-zeromq/zmq4"

	"foreplane/kernel/wire"
)

// registrationTimeout is how long the launcher has to acknowledge. JEP 66 leaves the value open.
const registrationTimeout = 10 * time.Second

// Open binds the sockets that a start-up file asks for. For a connection file that is [Listen]. For a registration file (JEP 66) it binds free ports,
// reports them to the launcher, waits for the acknowledgement, and writes a connection file beside the registration file for other clients; Close
// removes that file.
func Open(ctx context.Context, path string, log *slog.Logger) (*Server, error) {
	f, err := readStartFile(path)
	if err != nil {
		return nil, err
	}
	if f.isRegistration() {
		return openRegistered(ctx, f, log)
	}
	c, err := f.connection()
	if err != nil {
		return nil, err
	}
	return Listen(ctx, c, log)
}

func openRegistered(ctx context.Context, f *startFile, log *slog.Logger) (*Server, error) {
	r, err := f.registration()
	if err != nil {
		return nil, err
	}
	s, err := Listen(ctx, Connection{Transport: r.transport, IP: r.ip, Key: r.key, Scheme: r.scheme}, log)
	if err != nil {
		return nil, err
	}
	ctx, cancel := context.WithTimeout(ctx, registrationTimeout)
	defer cancel()
	own := filepath.Join(filepath.Dir(f.path), "kernel-"+r.kernelID+"-connection.json")
	if err := errors.Join(r.report(ctx, s), s.conn.write(own)); err != nil {
		s.Close()
		os.Remove(own)
		return nil, fmt.Errorf("registration with %s port %d: %w", r.ip, r.port, err)
	}
	s.cleanup = func() error { return os.Remove(own) }
	return s, nil
}

// report sends the ports of s to the launcher and waits until it acknowledges them.
func (r registration) report(ctx context.Context, s *Server) error {
	l, err := r.dial(ctx)
	if err != nil {
		return err
	}
	defer l.out.abort(net.ErrClosed)
	stop := context.AfterFunc(ctx, func() { l.out.abort(ctx.Err()) })
	defer stop()
	if err := l.send(r.frames(s)); err != nil {
		return err
	}
	for {
		answer, err := l.receive()
		if err != nil {
			return fmt.Errorf("no acknowledgement: %w", errors.Join(ctx.Err(), err))
		}
		if acknowledges(answer, s.codec) {
			return nil
		}
	}
}

func (r registration) dial(ctx context.Context) (*link, error) {
	network, address := address(r.transport, r.ip, r.port)
	var d net.Dialer
	conn, err := d.DialContext(ctx, network, address)
	if err != nil {
		return nil, err
	}
	return connect(conn, zmq4.Dealer, false, defaultLimits, func() {})
}

// frames is the registration: delimiter, signature, one JSON object. The specification types the ports as strings.
func (r registration) frames(s *Server) [][]byte {
	text, err := json.Marshal(map[string]string{
		"kernel_id":    r.kernelID,
		"shell_port":   strconv.Itoa(s.conn.Shell),
		"control_port": strconv.Itoa(s.conn.Control),
		"stdin_port":   strconv.Itoa(s.conn.Stdin),
		"iopub_port":   strconv.Itoa(s.conn.IOPub),
		"hb_port":      strconv.Itoa(s.conn.Heartbeat),
	})
	if err != nil {
		panic("transport: a map of strings did not encode: " + err.Error())
	}
	return [][]byte{[]byte(wire.Delimiter), s.codec.Sign(text), text}
}

// acknowledges reports whether frames are delimiter, signature, and anything that the signature fits: the specification leaves the content open.
func acknowledges(frames [][]byte, codec *wire.Codec) bool {
	for i, f := range frames {
		if bytes.Equal(f, []byte(wire.Delimiter)) {
			return len(frames) > i+2 && codec.Verify(frames[i+1], frames[i+2:]...)
		}
	}
	return false
}
