package transport_test

import (
	"context"
	"crypto/rand"
	"fmt"
	"log"
	"time"

	"foreplane/kernel/transport"
	"foreplane/kernel/wire"
)

// A kernel that answers every request with "ok", and a client that asks. With [transport.Open] in place of [transport.NewMemory] the clients are those of
// the start-up file.
func Example() {
	author, err := wire.NewAuthor("kernel", rand.Reader, time.Now)
	if err != nil {
		log.Fatal(err)
	}
	server := transport.NewMemory()
	server.Serve(transport.Handlers{Message: func(ch wire.Channel, request *wire.Message) {
		reply, err := author.Reply(request, "kernel_info_reply", map[string]string{"status": "ok"})
		if err != nil {
			log.Fatal(err)
		}
		if err := server.Send(ch, reply); err != nil {
			log.Print(err)
		}
	}})
	defer server.Close()

	client := server.Dial("client")
	request, err := author.Request("kernel_info_request", nil)
	if err != nil {
		log.Fatal(err)
	}
	if err := client.Send(wire.Shell, request); err != nil {
		log.Fatal(err)
	}
	reply, err := client.Receive(context.Background(), wire.Shell)
	fmt.Println(reply.Header.Type, string(reply.Content), err)
	// Output: kernel_info_reply {"status":"ok"} <nil>
}
