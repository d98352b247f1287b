// Package wire holds the messages of the Jupyter messaging protocol, their signing and their framing. It is pure: no sockets, no clocks it was not given.
package wire
