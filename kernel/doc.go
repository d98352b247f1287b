// Package kernel is the protocol core: it takes decoded messages, queues and runs cells on an [Engine], and emits messages. It knows no sockets, no
// interpreter and no aeronautics; transports, the headless run and tests are adapters of it.
package kernel
