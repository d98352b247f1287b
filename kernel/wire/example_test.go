package wire_test

import (
	"crypto/rand"
	"fmt"
	"log"
	"time"

	"foreplane/kernel/wire"
)

func Example() {
	codec, err := wire.NewCodec(wire.DefaultScheme, "secret")
	if err != nil {
		log.Fatal(err)
	}
	author, err := wire.NewAuthor("kernel", rand.Reader, time.Now)
	if err != nil {
		log.Fatal(err)
	}
	request, err := author.Request("kernel_info_request", nil)
	if err != nil {
		log.Fatal(err)
	}
	received, err := codec.Decode(codec.Encode(request))
	if err != nil {
		log.Fatal(err)
	}
	reply, err := author.Reply(received, "kernel_info_reply", map[string]string{"status": "ok"})
	if err != nil {
		log.Fatal(err)
	}
	_, err = codec.Decode(codec.Encode(request))
	fmt.Println(reply.Header.Type, string(reply.Content), string(reply.Parent) == string(received.RawHeader))
	fmt.Println("the same bytes again:", err)
	// Output:
	// kernel_info_reply {"status":"ok"} true
	// the same bytes again: message seen before
}
