// Package against holds cells against the compiler. It consists of tests and their material; nothing imports it.
//
//   - TestCorpus runs the programs of testdata/corpus as cells, put together in several ways, and compiled: both must print the same and end the same.
//     One of them, or some: go test -run Corpus -only numerical/
//   - TestRandom does so with programs that progen writes. Flags set how many, and the first seed: go test -run Random -programs 2000 -first 1
//   - TestSessions plays the scripts of testdata/sessions: several cells, each with what it prints, shows or fails with.
//   - TestInterrupt stops cells that are stuck in many ways, and asks for what was made before.
//   - TestDistribution runs the programs of the Go distribution's test folder, which check themselves.
//
// Cells run in a child process, the test binary itself, so that one that crashes or hangs costs a verdict and not the run. A program passes, is refused
// before anything of it ran, or is wrong; a panic, a crash or a hang where compiled Go ends is wrong too. What is not right today stands in
// testdata/known with its reason. A list must name exactly what fails: an entry that has become needless fails the test. The lists are written anew by
//
//	go test ./kernel/cell/internal/against -update
//
// so that a change of them is a line to review.
package against
