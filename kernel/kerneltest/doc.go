// Package kerneltest helps to test what surrounds the protocol core: [Script] is an engine that does what its cells say, for tests that need no Go cells;
// [Engine] is the conformance suite that every engine for Go cells has to pass; [Recorder] is an output that remembers.
//
//	c, err := kernel.NewLocal(kernel.Options{Engine: kerneltest.NewScript()})
//	reply, err := c.Execute(ctx, kernel.Call{Code: "print hello\nvalue 42"}, nil)
//
//	func TestEngine(t *testing.T) { kerneltest.Engine(t, newEngine) } // newEngine(*testing.T) returns the engine to test
package kerneltest
