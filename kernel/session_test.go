package kernel_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"golang.org/x/tools/txtar"

	"foreplane/kernel"
	"foreplane/kernel/display"
	"foreplane/kernel/kerneltest"
	"foreplane/kernel/wire"
)

// TestSessions plays the sessions in testdata. Each file of an archive is one session with a kernel of its own, whose engine is a [kerneltest.Script]:
//
//	> LABEL CHANNEL TYPE CONTENT    a client sends a message; LABEL@NAME is another client, ^OTHER answers the message that was received as OTHER, and
//	                               +CELL runs the cell that was first run as CELL
//	< LABEL CHANNEL TYPE CONTENT    the kernel sends a message because of LABEL (- means: because of nothing); LABEL=OTHER names it for ^
//	<~ LABEL ...                    the same, while other labels may send too: messages of other causes are left for later lines
//	< LABEL busy, < LABEL idle      a status message
//	< nothing                       the kernel sends no more
//	! interrupt | gone CLIENT | open GATE | subscribe TOPIC | pass DURATION | done | log TEXT
//
// Each kernel has a prompt target "prompt.echo", whose comms send back what they receive. Expected messages are compared in full and in the order in which the kernel sends them, over all channels. A content of * and a value of "*" match
// anything. Lines sent without an expectation between them are all queued before the kernel is looked at. Time is not real: it passes when nothing else
// happens, or by "pass".
func TestSessions(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatalf("no sessions: %v", err)
	}
	for _, name := range files {
		archive, err := txtar.ParseFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range archive.Files {
			t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar")+"/"+f.Name, func(t *testing.T) {
				synctest.Test(t, func(t *testing.T) { play(t, string(f.Data)) })
			})
		}
	}
}

// player plays one session.
type player struct {
	*testing.T
	script   *kerneltest.Script
	kernel   *kernel.Kernel
	log      bytes.Buffer
	headers  map[string]json.RawMessage // by label
	messages map[string]*wire.Message   // received, by label
	clients  map[string]string          // by label
	wire     tape
}

// tape records what a kernel sends.
type tape struct {
	mu   sync.Mutex
	sent []sent
}

type sent struct {
	channel wire.Channel
	message *wire.Message
}

func (w *tape) Send(ch wire.Channel, m *wire.Message) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.sent = append(w.sent, sent{ch, m})
	return nil
}

// next takes the oldest message that fits, after all goroutines came to rest.
func (w *tape) next(fits func(*wire.Message) bool) (sent, bool) {
	synctest.Wait()
	w.mu.Lock()
	defer w.mu.Unlock()
	i := slices.IndexFunc(w.sent, func(s sent) bool { return fits(s.message) })
	if i < 0 {
		return sent{}, false
	}
	first := w.sent[i]
	w.sent = slices.Delete(w.sent, i, i+1)
	return first, true
}

func oldest(*wire.Message) bool { return true }

func play(t *testing.T, text string) {
	p := &player{T: t, script: kerneltest.NewScript(), headers: map[string]json.RawMessage{"-": json.RawMessage("{}")},
		messages: map[string]*wire.Message{}, clients: map[string]string{}}
	k, err := kernel.New(kernel.Options{
		Engine: p.script, Sender: &p.wire, Pager: true, Log: slog.New(slog.NewTextHandler(&p.log, nil)),
		Info: kernel.Info{Version: "1.2", Banner: "welcome", HelpLinks: []kernel.HelpLink{{Text: "Help", URL: "https://example.org"}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	p.kernel = k
	k.RegisterPrompt("prompt.echo", echo)
	for i, line := range strings.Split(text, "\n") {
		if line != "" && !strings.HasPrefix(line, "#") {
			p.line(i+1, line)
		}
	}
	p.wantNothing("at the end")
	if err := k.Close(); err != nil {
		t.Errorf("Close: %v", err)
	}
}

// echo is the target of comms that send back what they receive.
func echo(c *kernel.Comm, opening kernel.CommData) error {
	c.Received = func(d kernel.CommData) { c.Reply(d, kernel.CommData{Data: d.Data}) }
	c.Received(opening)
	return nil
}

func (p *player) line(number int, line string) {
	at := fmt.Sprintf("line %d", number)
	words := strings.SplitN(line+"    ", " ", 5)
	for i := range words {
		words[i] = strings.TrimSpace(words[i])
	}
	switch {
	case words[0] == ">":
		p.send(words[1], words[2], words[3], words[4])
	case line == "< nothing":
		p.wantNothing(at)
	case words[0] == "<" || words[0] == "<~":
		if words[2] == "busy" || words[2] == "idle" {
			words = []string{words[0], words[1], "iopub", "status", `{"execution_state":"` + words[2] + `"}`}
		}
		p.want(at, words[0] == "<~", words[1], words[2], words[3], words[4])
	case words[0] == "!":
		p.do(at, words[1], strings.TrimSpace(strings.Join(words[2:], " ")))
	default:
		p.Fatalf("%s: %q is no line of a session", at, line)
	}
}

var channels = map[string]wire.Channel{"shell": wire.Shell, "control": wire.Control, "stdin": wire.Stdin, "iopub": wire.IOPub}

func (p *player) send(label, channel, kind, content string) {
	label, answered, _ := strings.Cut(label, "^")
	label, cell, again := strings.Cut(label, "+")
	label, client, other := strings.Cut(label, "@")
	if !other {
		client = "ann"
	}
	if !again {
		cell = label
	}
	header := wire.Header{ID: label, Session: client, Username: client, Date: "2026-01-01T00:00:00Z", Type: kind, Version: "5.4"}
	raw := fmt.Appendf(nil, `{"msg_id":%q,"session":%q,"username":%q,"date":%q,"msg_type":%q,"version":"5.4","x_unknown":[1]}`, label, client, client, header.Date, kind)
	m := &wire.Message{Identities: [][]byte{[]byte(client)}, Header: header, RawHeader: raw, Parent: json.RawMessage("{}"),
		Metadata: json.RawMessage(`{"cellId":"cell-` + cell + `"}`), Content: json.RawMessage(content)}
	if answered != "" {
		parent, err := json.Marshal(p.messages[answered].Header)
		if err != nil {
			p.Fatal(err)
		}
		m.Parent = parent
	}
	p.headers[label], p.clients[label] = raw, client
	p.kernel.Handle(channels[channel], m)
}

func (p *player) want(at string, among bool, label, channel, kind, content string) {
	p.Helper()
	label, name, _ := strings.Cut(label, "=")
	fits := oldest
	if among {
		fits = func(m *wire.Message) bool { return string(m.Parent) == string(p.headers[label]) }
	}
	got, ok := p.wire.next(fits)
	if !ok {
		p.Fatalf("%s: the kernel sent nothing, want %s %s %s", at, channel, kind, content)
	}
	m := got.message
	p.messages[name] = m
	if got.channel.String() != channel || m.Header.Type != kind || string(m.Parent) != string(p.headers[label]) || !matches(content, m.Content) {
		p.Fatalf("%s:\n got %s %s %s\n     because of %s\nwant %s %s %s\n     because of %s", at,
			got.channel, m.Header.Type, m.Content, m.Parent, channel, kind, content, p.headers[label])
	}
	if client := p.clients[label]; got.channel != wire.IOPub && string(m.Identities[0]) != client {
		p.Errorf("%s: sent to %q, want %q", at, m.Identities, client)
	}
	p.checkHeader(at, m.Header)
}

// checkHeader looks at what every header has to carry.
func (p *player) checkHeader(at string, h wire.Header) {
	if h.ID == "" || h.Session != p.kernel.Session() || h.Username == "" || h.Version != "5.5" {
		p.Errorf("%s: header %+v", at, h)
	}
	if _, err := time.Parse(time.RFC3339, h.Date); err != nil {
		p.Errorf("%s: %v", at, err)
	}
}

func (p *player) wantNothing(at string) {
	p.Helper()
	if got, ok := p.wire.next(oldest); ok {
		p.Fatalf("%s: the kernel sent %s %s %s, want nothing", at, got.channel, got.message.Header.Type, got.message.Content)
	}
}

func (p *player) do(at, what, argument string) {
	synctest.Wait()
	switch what {
	case "interrupt":
		p.kernel.Interrupt()
	case "gone":
		p.kernel.Gone(argument)
	case "open":
		p.script.Open(argument)
	case "subscribe":
		topic, err := strconv.Unquote(argument)
		if err != nil {
			p.Fatalf("%s: %v", at, err)
		}
		p.kernel.Subscribed(topic)
	case "pass":
		d, err := time.ParseDuration(argument)
		if err != nil {
			p.Fatalf("%s: %v", at, err)
		}
		time.Sleep(d)
	case "done":
		<-p.kernel.Done()
	case "log":
		if !strings.Contains(p.log.String(), argument) {
			p.Errorf("%s: the log says %q, nothing of %q", at, p.log.String(), argument)
		}
	default:
		p.Fatalf("%s: cannot %q", at, what)
	}
}

// matches compares JSON texts. "*" in want matches any value.
func matches(want string, got json.RawMessage) bool {
	if want == "*" {
		return true
	}
	var w, g any
	if err := json.Unmarshal([]byte(want), &w); err != nil {
		panic(fmt.Sprintf("expectation %s: %v", want, err))
	}
	return json.Unmarshal(got, &g) == nil && equal(w, g)
}

func equal(want, got any) bool {
	switch w := want.(type) {
	case string:
		return w == "*" || w == got
	case map[string]any:
		g, ok := got.(map[string]any)
		for key := range w {
			ok = ok && equal(w[key], g[key])
		}
		return ok && len(g) == len(w)
	case []any:
		g, ok := got.([]any)
		if !ok || len(g) != len(w) {
			return false
		}
		for i := range w {
			ok = ok && equal(w[i], g[i])
		}
		return ok
	}
	return reflect.DeepEqual(want, got)
}

func unmarshal(t *testing.T, text string, into any) {
	t.Helper()
	if err := json.Unmarshal([]byte(text), into); err != nil {
		t.Fatalf("%s: %v", text, err)
	}
}

// endWatch is a sender that looks whether a kernel says it is done before all is said.
type endWatch struct {
	tape
	kernel   *kernel.Kernel
	tooEarly []string
}

func (w *endWatch) Send(ch wire.Channel, m *wire.Message) error {
	if w.kernel != nil {
		select {
		case <-w.kernel.Done():
			w.tooEarly = append(w.tooEarly, m.Header.Type)
		default:
		}
	}
	return w.tape.Send(ch, m)
}

func TestDoneAfterIdle(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var w endWatch
		k, err := kernel.New(kernel.Options{Engine: kerneltest.NewScript(), Sender: &w})
		if err != nil {
			t.Fatal(err)
		}
		w.kernel = k
		for range 2 {
			k.Handle(wire.Control, &wire.Message{Header: wire.Header{ID: "a", Type: "shutdown_request"}, Content: json.RawMessage("{}")})
			synctest.Wait()
			if w.tooEarly != nil {
				t.Errorf("sent after Done was closed: %v", w.tooEarly)
			}
			w.kernel = nil // a second request may well come after that
		}
		<-k.Done()
		if err := k.Close(); err != nil {
			t.Error(err)
		}
	})
}

// stuck is a sender whose iopub takes no display until it is released, and an engine whose cell shows one and waits to be interrupted.
type stuck struct {
	*kerneltest.Script
	reached, release, ended chan struct{}
}

func (s stuck) Send(_ wire.Channel, m *wire.Message) error {
	if m.Header.Type == "display_data" {
		close(s.reached)
		<-s.release
	}
	return nil
}

func (s stuck) Run(ctx context.Context, _ kernel.Cell, out kernel.Output) kernel.Result {
	go out.Show(display.Plain("x"), "")
	<-ctx.Done()
	close(s.ended)
	return kernel.Result{Err: &kernel.CellError{Name: "Interrupted"}}
}

// TestInterruptWhileOutputIsStuck interrupts a cell while no subscriber takes what it shows.
func TestInterruptWhileOutputIsStuck(t *testing.T) {
	s := stuck{kerneltest.NewScript(), make(chan struct{}), make(chan struct{}), make(chan struct{})}
	k, err := kernel.New(kernel.Options{Engine: s, Sender: s})
	if err != nil {
		t.Fatal(err)
	}
	k.Handle(wire.Shell, &wire.Message{Header: wire.Header{ID: "a", Type: "execute_request"}, Content: json.RawMessage(`{"code":""}`)})
	<-s.reached
	k.Handle(wire.Control, &wire.Message{Header: wire.Header{ID: "b", Type: "interrupt_request"}, Content: json.RawMessage("{}")})
	<-s.ended
	close(s.release)
	if err := k.Close(); err != nil {
		t.Error(err)
	}
}
