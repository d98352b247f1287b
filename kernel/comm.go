package kernel

import (
	"cmp"
	"context"
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"strings"
	"sync"

	"foreplane/kernel/wire"
)

// Target takes the comms that front ends open under its name. It sets the comm's handlers and may answer at once, by [Comm.Reply]; an error closes the comm.
type Target func(c *Comm, opening CommData) error

// CommData is what a comm message carries.
type CommData struct {
	Data     json.RawMessage // a JSON object
	Metadata json.RawMessage // of the message; a JSON object, may be empty
	Buffers  [][]byte

	cause *wire.Message // of what was received
}

// Comm is a channel between an object in a front end and its twin in the kernel. Handlers are called on the shell goroutine, one at a time.
type Comm struct {
	ID, Target string
	Received   func(CommData) // may be nil
	Closed     func(CommData) // the front end closed it; may be nil
	comms      *comms
}

// comms is the register of targets and open comms.
type comms struct {
	iopub *publisher

	mu      sync.Mutex
	targets map[string]Target
	prompt  map[string]bool // targets that are served at once
	open    map[string]*Comm
	cause   *wire.Message // the shell request being served, or the last one
}

func newComms(iopub *publisher) *comms {
	return &comms{iopub: iopub, targets: map[string]Target{}, prompt: map[string]bool{}, open: map[string]*Comm{}}
}

// Register offers a target to front ends.
func (k *Kernel) Register(name string, t Target) {
	k.comms.mu.Lock()
	defer k.comms.mu.Unlock()
	k.comms.targets[name] = t
}

// RegisterPrompt offers a target whose comms are served at once, also while a cell runs: then on another goroutine than that of the shell.
func (k *Kernel) RegisterPrompt(name string, t Target) {
	k.Register(name, t)
	k.comms.mu.Lock()
	defer k.comms.mu.Unlock()
	k.comms.prompt[name] = true
}

// isPrompt reports whether a message is for a comm that is served at once.
func (s *comms) isPrompt(m *wire.Message) bool {
	var in commContent
	if !strings.HasPrefix(m.Header.Type, "comm_") || json.Unmarshal(m.Content, &in) != nil {
		return false
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if in.Target != nil {
		return s.prompt[*in.Target]
	}
	c := s.open[in.ID]
	return c != nil && s.prompt[c.Target]
}

// OpenComm opens a comm from the kernel's side. Set its handlers before a front end can know of it: in prepare, which may be nil.
func (k *Kernel) OpenComm(target string, opening CommData, prepare func(*Comm)) *Comm {
	c := &Comm{ID: newCommID(), Target: target, comms: k.comms}
	if prepare != nil {
		prepare(c)
	}
	k.comms.add(c)
	k.comms.send("comm_open", fields{"comm_id": c.ID, "target_name": target}, opening)
	return c
}

func newCommID() string {
	var id [16]byte
	rand.Read(id[:])
	return hex.EncodeToString(id[:])
}

// Send sends a message to the front end's side.
func (c *Comm) Send(d CommData) { c.comms.send("comm_msg", fields{"comm_id": c.ID}, d) }

// Reply sends a message that answers the one received.
func (c *Comm) Reply(received, d CommData) {
	d.cause = received.cause
	c.comms.send("comm_msg", fields{"comm_id": c.ID}, d)
}

// Close ends the comm and tells the front end.
func (c *Comm) Close(d CommData) {
	c.comms.remove(c.ID)
	c.comms.send("comm_close", fields{"comm_id": c.ID}, d)
}

func (s *comms) send(kind string, content fields, d CommData) {
	content["data"] = d.Data
	if d.Data == nil {
		content["data"] = fields{}
	}
	s.mu.Lock()
	cause := cmp.Or(d.cause, s.cause)
	s.mu.Unlock()
	s.iopub.publishRaw(cause, kind, content, d.Metadata, d.Buffers)
}

// causedBy makes a request the parent of the comm messages to come.
func (s *comms) causedBy(cause *wire.Message) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.cause = cause
}

func (s *comms) target(name string) Target {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.targets[name]
}

func (s *comms) add(c *Comm) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.open[c.ID] = c
}

func (s *comms) get(id string) *Comm {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.open[id]
}

func (s *comms) remove(id string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.open, id)
}

// commContent is the content of comm requests.
type commContent struct {
	ID     string          `json:"comm_id"`
	Target *string         `json:"target_name"`
	Data   json.RawMessage `json:"data"`
}

func readComm(r *request) (in commContent, d CommData, err error) {
	if err := r.decode(&in); err != nil {
		return in, d, err
	}
	if in.ID == "" {
		return in, d, missing("comm_id")
	}
	return in, CommData{Data: in.Data, Metadata: r.Metadata, Buffers: r.Buffers, cause: r.cause}, nil
}

func (k *Kernel) commOpen(_ context.Context, r *request) (fields, error) {
	in, d, err := readComm(r)
	if err != nil {
		return nil, err
	}
	if in.Target == nil {
		return nil, missing("target_name")
	}
	c := &Comm{ID: in.ID, Target: *in.Target, comms: k.comms}
	target := k.comms.target(c.Target)
	if target == nil {
		c.Close(CommData{})
		return nil, nil
	}
	k.comms.add(c)
	if err := target(c, d); err != nil {
		c.Close(CommData{})
		return nil, err
	}
	return nil, nil
}

func (k *Kernel) commMessage(_ context.Context, r *request) (fields, error) {
	in, d, err := readComm(r)
	if err != nil {
		return nil, err
	}
	if c := k.comms.get(in.ID); c != nil && c.Received != nil {
		c.Received(d)
	}
	return nil, nil
}

func (k *Kernel) commClose(_ context.Context, r *request) (fields, error) {
	in, d, err := readComm(r)
	if err != nil {
		return nil, err
	}
	if c := k.comms.get(in.ID); c != nil {
		k.comms.remove(c.ID)
		if c.Closed != nil {
			c.Closed(d)
		}
	}
	return nil, nil
}

func (k *Kernel) commInfo(_ context.Context, r *request) (fields, error) {
	var in commContent
	if err := r.decode(&in); err != nil {
		return nil, err
	}
	k.comms.mu.Lock()
	defer k.comms.mu.Unlock()
	list := fields{}
	for id, c := range k.comms.open {
		if in.Target == nil || *in.Target == "" || *in.Target == c.Target {
			list[id] = fields{"target_name": c.Target}
		}
	}
	return fields{"status": "ok", "comms": list}, nil
}
