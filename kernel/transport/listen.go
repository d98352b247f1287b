package transport

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"strconv"
	"syscall"
	"time"
)

// address returns network and address of a port as the net package knows them. For ipc the address is a file name.
func address(transport, ip string, port int) (network, addr string) {
	if transport == "ipc" {
		return "unix", ip + "-" + strconv.Itoa(port)
	}
	return "tcp", net.JoinHostPort(ip, strconv.Itoa(port))
}

// bind listens for one socket and returns the port it got; port 0 asks for a free one.
func bind(ctx context.Context, name, transport, ip string, port int) (net.Listener, int, error) {
	var l net.Listener
	var err error
	if transport == "ipc" {
		l, port, err = bindIPC(ctx, ip, port)
	} else {
		l, port, err = bindTCP(ctx, ip, port)
	}
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, 0, fmt.Errorf("%s socket: port %d at %s is in use by another program", name, port, ip)
	}
	if err != nil {
		return nil, 0, fmt.Errorf("%s socket: %w", name, err)
	}
	return l, port, nil
}

// bindTCP relies on the net package setting SO_REUSEADDR: connections of a previous process in TIME_WAIT are no hindrance.
func bindTCP(ctx context.Context, ip string, port int) (net.Listener, int, error) {
	var config net.ListenConfig
	l, err := config.Listen(ctx, "tcp", net.JoinHostPort(ip, strconv.Itoa(port)))
	if err != nil {
		return nil, port, err
	}
	return l, l.Addr().(*net.TCPAddr).Port, nil
}

// bindIPC replaces a file left behind by a killed process; for port 0 it takes the first unused number.
func bindIPC(ctx context.Context, ip string, port int) (net.Listener, int, error) {
	const last = 65535
	for n := max(port, 1); ; n++ {
		_, path := address("ipc", ip, n)
		l, err := bindFile(ctx, path)
		if port != 0 || n == last || !errors.Is(err, syscall.EADDRINUSE) {
			return l, n, err
		}
	}
}

func bindFile(ctx context.Context, path string) (net.Listener, error) {
	var config net.ListenConfig
	l, err := config.Listen(ctx, "unix", path)
	if !errors.Is(err, syscall.EADDRINUSE) || !abandoned(path) {
		return l, err
	}
	if err := os.Remove(path); err != nil {
		return nil, err
	}
	return config.Listen(ctx, "unix", path)
}

// abandoned reports whether path is a socket that nobody listens on.
func abandoned(path string) bool {
	info, err := os.Lstat(path)
	if err != nil || info.Mode().Type() != os.ModeSocket {
		return false
	}
	conn, err := net.DialTimeout("unix", path, time.Second)
	if err == nil {
		conn.Close()
	}
	return errors.Is(err, syscall.ECONNREFUSED)
}
