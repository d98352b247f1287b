// Package worker keeps the interpreter in a process of its own, so that nothing a cell does can take the kernel with it.
//
// [New] returns a [Supervisor]: a [cell.Runner] that starts the process, hands programs to it and watches over it. [Main] is that process: it serves
// a cell.Runner of its own, the machine, until its supervisor is gone. Both are the same executable; the command's hidden subcommand calls Main:
//
//	os.Exit(worker.Main(func() (cell.Runner, error) { return machine, nil }))           // in the worker
//	runner := worker.New(worker.Options{Argv: []string{executable, "worker"}})         // in the supervisor
//
// # Descriptors
//
// Descriptor 0 is the null device, 1 the cells' stdout, 2 the runtime's own reports, 3 messages down, 4 messages up, 5 the cells' stderr. Cells get
// os.Stdout and os.Stderr on duplicates of 1 and 5, so closing them harms nobody. Messages are length-prefixed JSON. Descriptor 6 is memory that both
// processes share, and is closed once it is mapped: the statements of a cell leave there where they are, which is told when the worker is lost.
//
// # Order
//
// Text, displays and the end of a cell travel on different pipes. To keep their order, the worker writes a mark with a random key into each of the
// three text streams before it sends a message that carries the same mark; the supervisor delivers the message when all streams have come to the
// mark, and holds the streams there until it has ([turnstile]). So when Run returns, all that the cell wrote has been delivered, while a child that
// keeps writing holds up nobody.
//
// # Ends
//
// The worker ends by itself (a fatal runtime error, a call of os.Exit), by a signal, by its memory watch, or because it did not obey a stop; Run then
// returns a [cell.LostError] that says which ([reason]). The worker leads a process group, which is killed as a whole.
package worker
