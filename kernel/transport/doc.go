// Package transport carries messages between a kernel and its clients: connection files, the five ZeroMQ sockets, the heartbeat. It is the only importer
// of zmq4.
//
//	server, err := transport.Open(ctx, path, log)                           // read the file, bind the sockets
//	server.Serve(transport.Handlers{Message: onMessage, Subscribed: welcome}) // let peers in
//	err = server.Send(wire.IOPub, message)
//	err = server.Close() // after the peers took what was sent
package transport
