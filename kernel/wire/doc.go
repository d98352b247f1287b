// Package wire holds the messages of the Jupyter messaging protocol, their signing and their framing. It is pure: no sockets, no clocks it was not given.
//
// A [Message] travels as a list of frames: routing prefix, delimiter, signature, four JSON objects (header, parent header, metadata, content), then any
// number of raw buffers. A [Codec] turns one into the other; it signs the four objects as sent bytes, and refuses what is badly signed, seen before or
// malformed. An [Author] makes messages: requests, replies, and what is published because of a request.
//
//	codec, err := wire.NewCodec("hmac-sha256", key)
//	request, err := codec.Decode(frames)
//	reply, err := author.Reply(request, "kernel_info_reply", content)
//	frames = codec.Encode(reply)
//
// What peers send in practice and how it is met: unknown keys are kept; invalid UTF-8 becomes U+FFFD and a byte order mark is dropped, both after the
// signature was checked; escaped lone surrogates and NUL are legal JSON and stay as they are; objects nested deeper than encoding/json goes (10 000
// levels) are refused.
//
// Source: Jupyter messaging specification 5.5, sections "The wire protocol" and "General message format".
package wire
