// Package transport carries messages between a kernel and its clients: start-up files, the five ZeroMQ sockets, the heartbeat. It is the only importer of
// zmq4.
//
//	server, err := transport.Open(ctx, path, log)                             // read the file, bind the sockets
//	server.Serve(transport.Handlers{Message: onMessage, Subscribed: welcome}) // let peers in
//	err = server.Send(wire.IOPub, message)
//	err = server.Close() // once the peers took what was sent
//
// [Connection] is the content of a connection file. [Open] also takes a registration file (JEP 66), tells the launcher which ports it bound and waits for
// the acknowledgement. [Memory] is a twin of [Server] without sockets; one test suite holds for both.
//
// # From a byte to a handler
//
// A socket accepts connections; a link is one peer's connection; a pattern (router, publisher, echo) says what a socket does with its links. Each link has
// a goroutine that reads and hands messages to the pattern, and an outbox whose goroutine writes. Nobody else ever waits for a peer.
//
// zmq4 shakes hands and frames what is sent. Its sockets are not used, for reasons measured with v0.17.0: a peer that connects in silence keeps all
// others out; a subscriber that stops reading starves the rest; Close loses what is queued; replies to an identity go to every connection that claims it;
// XPUB does not tell of subscriptions; and a handshake with an unknown socket type, metadata cut short or a huge frame size panics. So links read frames
// themselves, within limits, and panics of the handshake end the connection only.
//
// # What peers can rely on, and what they cannot do
//
//   - A peer must speak ZMTP 3 with the NULL mechanism and shake hands within 5 s. CURVE is not offered: a start-up file that asks for it is refused.
//   - A received message is at most 256 MiB. Badly signed, replayed and malformed messages are dropped without an answer and logged once for each reason.
//   - A peer that has not taken 64 MiB of what it was sent is disconnected, with one line in the log. Publishing slows down to the pace of the fastest
//     subscriber from a backlog of 8 MiB on; if no subscriber takes a byte for 5 s, all of them are disconnected and publishing goes on. ZeroMQ clients
//     connect again by themselves.
//   - Two connections with one identity: the first keeps it and the second is refused, so nobody can read along or take over by guessing an identity. The
//     newcomer is given 250 ms in case the first is just leaving; ZeroMQ clients retry by themselves.
//   - Who was asked on stdin and disconnects has 2 s to come back; then the kernel is told, and gives the question up.
//   - Close waits at most 2 s for outboxes to empty, then ends each connection with a half-close, so that the system delivers what is under way.
//
// Sources: ZeroMQ RFC 23 (ZMTP 3.0) and 37 (ZMTP 3.1, for PING); Jupyter messaging specification 5.5 and the start-up handshake of 5.6; JEP 65 (XPUB),
// 66 (handshake), 106 (connection file).
package transport
