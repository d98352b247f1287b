package kernel_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/display"
	"foreplane/kernel/kerneltest"
	"foreplane/kernel/wire"
)

func newLocal(t *testing.T, o kernel.Options) *kernel.Local {
	t.Helper()
	if o.Engine == nil {
		o.Engine = kerneltest.NewScript()
	}
	l, err := kernel.NewLocal(o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := l.Close(); err != nil {
			t.Errorf("Close: %v", err)
		}
	})
	return l
}

// execute runs a cell and returns what became of it.
func execute(t *testing.T, l *kernel.Local, c kernel.Call) (kernel.Reply, []kernel.Event) {
	t.Helper()
	var events []kernel.Event
	reply, err := l.Execute(t.Context(), c, func(e kernel.Event) { events = append(events, e) })
	if err != nil {
		t.Fatalf("Execute(%q): %v", c.Code, err)
	}
	return reply, events
}

// TestPagesWithoutPager holds that what cells page is shown among their outputs where there is no pager.
func TestPagesWithoutPager(t *testing.T) {
	_, events := execute(t, newLocal(t, kernel.Options{}), kernel.Call{Code: "page text/plain long text\nprint after"})
	var got []string
	for _, e := range events {
		if e.Type == "display_data" || e.Type == "stream" {
			got = append(got, e.Type+" "+e.Bundle.Text()+e.Text)
		}
	}
	if want := []string{"display_data long text", "stream after\n"}; !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

func ExampleLocal() {
	l, err := kernel.NewLocal(kernel.Options{Engine: kerneltest.NewScript()})
	if err != nil {
		fmt.Println(err)
		return
	}
	defer l.Close()
	reply, err := l.Execute(context.Background(), kernel.Call{Code: "print hello\nvalue 42"}, func(e kernel.Event) {
		switch e.Type {
		case "stream":
			fmt.Printf("%s: %s", e.Name, e.Text)
		case "execute_result":
			fmt.Println("value:", e.Bundle.Text())
		}
	})
	fmt.Println(reply.Status, reply.ExecutionCount, err)
	// Output:
	// stdout: hello
	// value: 42
	// ok 1 <nil>
}

func TestLocalExecute(t *testing.T) {
	script := kerneltest.NewScript()
	l := newLocal(t, kernel.Options{Engine: script})
	reply, events := execute(t, l, kernel.Call{
		ID: "c-7", Code: "set x 42\nshow d1 text/html <b>\nask name?",
		UserExpressions: map[string]string{"good": "get x", "bad": "get y"},
		Input:           func(prompt string, _ bool) (string, error) { return "answer to " + prompt, nil },
	})
	var types []string
	for _, e := range events {
		types = append(types, e.Type+e.State)
	}
	if want := "statusbusy execute_input display_data stream statusidle"; strings.Join(types, " ") != want {
		t.Errorf("events %v, want %s", types, want)
	}
	if e := events[2]; e.DisplayID != "d1" || e.Bundle.Data["text/html"] != "<b>" {
		t.Errorf("display %+v", e)
	}
	if e := events[3]; e.Name != "stdout" || e.Text != "answer to name?\n" {
		t.Errorf("stream %+v", e)
	}
	if reply.Status != "ok" || reply.ExecutionCount != 1 || reply.Err != nil {
		t.Errorf("reply %+v", reply)
	}
	if good := reply.UserExpressions["good"]; good.Err != nil || good.Value.Text() != "42" {
		t.Errorf("good expression %+v", good)
	}
	if bad := reply.UserExpressions["bad"]; bad.Value != nil || bad.Err.Name != "Check" {
		t.Errorf("bad expression %+v", bad)
	}
	if cell := script.Cells()[0]; cell.ID != "c-7" || cell.Number != 1 || cell.Expression {
		t.Errorf("the engine got %+v", cell)
	}
	if cell := script.Cells()[1]; !cell.Expression || cell.Code != "get y" {
		t.Errorf("the engine got %+v", cell)
	}
}

func TestLocalFailure(t *testing.T) {
	l := newLocal(t, kernel.Options{})
	reply, events := execute(t, l, kernel.Call{Code: "fail Panic enough"})
	if reply.Status != "error" || reply.Err == nil || reply.Err.Name != "Panic" || reply.Err.Message != "enough" {
		t.Errorf("reply %+v", reply)
	}
	i := slices.IndexFunc(events, func(e kernel.Event) bool { return e.Type == "error" })
	if i < 0 || events[i].Err.Name != "Panic" || len(events[i].Err.Traceback) != 1 {
		t.Errorf("events %+v", events)
	}
}

func TestLocalContextInterrupts(t *testing.T) {
	l := newLocal(t, kernel.Options{})
	for _, code := range []string{"forever", "ask name?"} {
		ctx, cancel := context.WithCancel(t.Context())
		silent := func(string, bool) (string, error) { cancel(); <-t.Context().Done(); return "", nil }
		reply, err := l.Execute(ctx, kernel.Call{Code: code, Input: silent}, func(e kernel.Event) {
			if e.Type == "execute_input" && code == "forever" {
				cancel()
			}
		})
		if err != nil || reply.Err == nil || reply.Err.Name != "Interrupted" {
			t.Errorf("%s: %+v, %v", code, reply, err)
		}
	}
}

func TestLocalContextEndedBefore(t *testing.T) {
	l := newLocal(t, kernel.Options{})
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	reply, err := l.Execute(ctx, kernel.Call{Code: "forever"}, nil)
	if err != nil || reply.Err == nil || reply.Err.Name != "Interrupted" {
		t.Errorf("%+v, %v", reply, err)
	}
}

func TestLocalNoAnswerInterrupts(t *testing.T) {
	l := newLocal(t, kernel.Options{})
	reply, _ := execute(t, l, kernel.Call{Code: "ask name?", Input: func(string, bool) (string, error) { return "", errors.New("no keyboard") }})
	if reply.Err == nil || reply.Err.Name != "Interrupted" {
		t.Errorf("reply %+v", reply)
	}
}

func TestLocalCloseEndsExecute(t *testing.T) {
	l, err := kernel.NewLocal(kernel.Options{Engine: kerneltest.NewScript()})
	if err != nil {
		t.Fatal(err)
	}
	running := make(chan struct{})
	var closing sync.WaitGroup
	closing.Go(func() {
		<-running
		if err := l.Close(); err != nil {
			t.Errorf("Close: %v", err)
		}
	})
	reply, err := l.Execute(t.Context(), kernel.Call{Code: "forever"}, func(e kernel.Event) {
		if e.Type == "execute_input" {
			close(running)
		}
	})
	if err != nil || reply.Err == nil || reply.Err.Name != "Interrupted" {
		t.Errorf("the running cell: %+v, %v", reply, err)
	}
	closing.Wait()
	if _, err := l.Execute(t.Context(), kernel.Call{Code: "value 1"}, nil); err == nil {
		t.Error("a closed kernel ran a cell")
	}
}

// TestLocalConcurrent lets many goroutines use one kernel at once: each gets its own cell's output.
func TestLocalConcurrent(t *testing.T) {
	l := newLocal(t, kernel.Options{})
	var group sync.WaitGroup
	for g := range 8 {
		group.Go(func() {
			for i := range 20 {
				want := fmt.Sprintf("%d/%d", g, i)
				var got string
				reply, err := l.Execute(t.Context(), kernel.Call{Code: "print " + want}, func(e kernel.Event) { got += e.Text })
				if err != nil || reply.Status != "ok" || got != want+"\n" {
					t.Errorf("%s: %+v, %v, printed %q", want, reply, err, got)
				}
			}
			var info struct {
				Status string `json:"status"`
			}
			if err := l.Request(t.Context(), wire.Control, "kernel_info_request", struct{}{}, &info); err != nil || info.Status != "ok" {
				t.Errorf("kernel_info on control: %+v, %v", info, err)
			}
		})
	}
	group.Wait()
	if reply, _ := execute(t, l, kernel.Call{Code: "", Silent: true}); reply.ExecutionCount != 160 {
		t.Errorf("count %d after 160 cells", reply.ExecutionCount)
	}
}

// oddEngine gives what an engine should not.
type oddEngine struct {
	*kerneltest.Script
	result kernel.Result
	show   display.Bundle
}

func (e oddEngine) Run(ctx context.Context, c kernel.Cell, out kernel.Output) kernel.Result {
	if c.Expression {
		return e.result
	}
	out.Show(e.show, "")
	return e.result
}

func (oddEngine) Complete(string, int) kernel.Completion { return kernel.Completion{End: 99} }

func (oddEngine) Completeness(string) kernel.Completeness { panic("no idea") }

func TestOddEngine(t *testing.T) {
	unencodable := display.Bundle{Data: map[string]any{"application/json": func() {}}}
	l := newLocal(t, kernel.Options{Engine: oddEngine{kerneltest.NewScript(), kernel.Result{Value: &unencodable}, unencodable}})
	reply, events := execute(t, l, kernel.Call{Code: "x", UserExpressions: map[string]string{"x": "x"}})
	if reply.Status != "error" || reply.ExecutionCount != 1 || !strings.Contains(reply.Err.Message, "unsupported type") {
		t.Errorf("reply %+v", reply)
	}
	said := ""
	for _, e := range events {
		if e.Name == "stderr" {
			said += e.Text
		}
	}
	if strings.Count(said, "output lost: content of ") != 2 {
		t.Errorf("the user reads %q", said)
	}
	for kind, want := range map[string]string{"complete_request": "error", "is_complete_request": "unknown"} {
		var reply struct{ Status, EName string }
		if err := l.Request(t.Context(), wire.Shell, kind, map[string]string{"code": "ab"}, &reply); err != nil || reply.Status != want || reply.EName != "Internal" {
			t.Errorf("%s: %+v, %v", kind, reply, err)
		}
	}
}

// asker is an engine whose cells ask a question without a thought of interrupts.
type asker struct {
	*kerneltest.Script
	out kernel.Output
}

func (e *asker) Run(_ context.Context, _ kernel.Cell, out kernel.Output) kernel.Result {
	e.out = out
	_, err := out.Input(context.Background(), "name?", false)
	return kernel.Result{Err: &kernel.CellError{Name: "Error", Message: fmt.Sprint(err)}}
}

func TestInputEndsWithCell(t *testing.T) {
	e := &asker{Script: kerneltest.NewScript()}
	l := newLocal(t, kernel.Options{Engine: e})
	asked := 0
	interrupt := func(string, bool) (string, error) {
		asked++
		l.Kernel.Interrupt()
		<-t.Context().Done()
		return "", nil
	}
	const over = "no input: the cell was interrupted, or has ended"
	reply, _ := execute(t, l, kernel.Call{Code: "x", Input: interrupt})
	if reply.Err == nil || reply.Err.Message != `input "name?": `+over {
		t.Errorf("reply %+v", reply)
	}
	if _, err := e.out.Input(t.Context(), "again?", false); err == nil || err.Error() != over {
		t.Errorf("input after the cell: %v", err)
	}
	if asked != 1 {
		t.Errorf("%d questions, want 1", asked)
	}
}

func TestOptions(t *testing.T) {
	if _, err := kernel.New(kernel.Options{Engine: kerneltest.NewScript()}); err == nil {
		t.Error("a kernel without a sender")
	}
	if _, err := kernel.NewLocal(kernel.Options{}); err == nil {
		t.Error("a kernel without an engine")
	}
}

// TestComm plays a front end that opens, uses and closes a comm, and a kernel that opens one.
func TestComm(t *testing.T) {
	l := newLocal(t, kernel.Options{})
	var heard []string
	l.Kernel.Register("echo", func(c *kernel.Comm, opening kernel.CommData) error {
		if string(opening.Data) == `"no"` {
			return errors.New("not like this")
		}
		c.Received = func(d kernel.CommData) {
			c.Send(kernel.CommData{Data: d.Data, Metadata: json.RawMessage(`{"m":1}`), Buffers: [][]byte{{1}}})
		}
		c.Closed = func(d kernel.CommData) { heard = append(heard, "closed "+string(d.Data)) }
		return nil
	})
	own := l.Kernel.OpenComm("front", kernel.CommData{}, func(c *kernel.Comm) {
		c.Received = func(d kernel.CommData) { heard = append(heard, "own "+string(d.Data)) }
	})
	comms := func(target string) map[string]any {
		var reply struct{ Comms map[string]any }
		content := map[string]any{"target_name": target}
		if err := l.Request(t.Context(), wire.Shell, "comm_info_request", content, &reply); err != nil {
			t.Fatal(err)
		}
		return reply.Comms
	}
	request := func(kind, id, target string, data any) {
		content := map[string]any{"comm_id": id, "target_name": target, "data": data}
		if err := l.Request(t.Context(), wire.Shell, kind, content, nil); err != nil {
			t.Fatal(err)
		}
	}
	request("comm_open", "c1", "echo", "yes")
	request("comm_open", "c2", "echo", "no")
	request("comm_msg", "c1", "", "hello")
	request("comm_msg", own.ID, "", "hi")
	if all := comms(""); len(all) != 2 || all["c1"] == nil || all[own.ID] == nil {
		t.Errorf("comms %v, want c1 and %s", all, own.ID)
	}
	if some := comms("echo"); len(some) != 1 || some["c1"] == nil {
		t.Errorf("comms of echo: %v", some)
	}
	request("comm_close", "c1", "", "bye")
	own.Close(kernel.CommData{})
	if all := comms(""); len(all) != 0 {
		t.Errorf("comms %v, want none", all)
	}
	if want := []string{`own "hi"`, `closed "bye"`}; !slices.Equal(heard, want) {
		t.Errorf("handlers heard %q, want %q", heard, want)
	}
}
