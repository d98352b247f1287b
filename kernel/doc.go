// Package kernel is the protocol core: it takes decoded messages, queues and runs cells on an [Engine], and emits messages. It knows no sockets, no
// interpreter and no aeronautics; transports, the headless run and tests are adapters of it.
//
// A [Kernel] is fed by a transport through [Kernel.Handle], [Kernel.Subscribed] and [Kernel.Gone], and answers through a [Sender]. An [Engine] evaluates each [Cell];
// what the cell does meanwhile arrives at an [Output], what it came to is a [Result]. A [Target] takes the comms that front ends open; a [Comm] is one of
// them. A [Local] is a kernel and its only client in one process, without messages in between:
//
//	c, err := kernel.NewLocal(kernel.Options{Engine: engine})
//	reply, err := c.Execute(ctx, kernel.Call{Code: "6*7"}, func(e kernel.Event) { fmt.Println(e.Type, e.Data["text/plain"]) })
//
// Order, for each request on shell and control:
//
//	busy → execute_input, output, result or error → reply → idle
//
// Shell requests are served one by one in the order of arrival, on one goroutine; control requests on another, also while a cell runs. Completion,
// inspection and comms of prompt targets ([Kernel.RegisterPrompt]) do not wait for cells: while one runs or waits, a third goroutine serves them. Output on its way
// to iopub is gathered for 20 ms, or until it is large, and sent before anything else goes out (who changes between stdout and stderr more than 800 times a
// second is slowed down to that): so the order in which a cell printed and
// showed things is the order on iopub, and nothing of a request follows its idle except what goroutines of its cell print later.
//
// When a cell fails, the execute requests that wait in the queue at that moment, and only those, are answered "aborted" (unless stop_on_error is false,
// or the failed request was a silent one). Contents that do not fit are answered with an error that names the field; nothing a client sends or an engine
// does in its own goroutine ends the kernel.
//
// A cell that waits for input ends with the answer, by an interrupt, when a request comes to run the same cell again (by the cell id in the metadata), and when
// the transport says that the client that was asked has gone ([Kernel.Gone]).
//
// Front ends that connect again are told on a comm of [JournalTarget] what they have missed. Output of goroutines that outlive their cell keeps the cell's
// request as its parent, and is kept with it.
//
// Not offered, and not announced in kernel_info_reply: the debugger, and subshells: cells wait for each other, since the interpreter compiles and runs one
// at a time, while what needs no cell does not wait (above).
//
// Source: Jupyter messaging specification 5.5. Deviations in detail are said where they are made.
package kernel
