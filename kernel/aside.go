package kernel

import (
	"sync"

	"foreplane/kernel/wire"
)

// asides are the questions that are answered at once while a cell runs or waits, besides the queue of the shell: they need no more than what the engine
// knows already.
var asides = map[string]bool{"complete_request": true, "inspect_request": true, "is_complete_request": true, "comm_info_request": true}

// besides reports whether a message on shell is to be served besides the cells.
func (k *Kernel) besides(m *wire.Message) bool {
	return k.cells.Load() > 0 && (asides[m.Header.Type] || k.comms.isPrompt(m))
}

// pushShell queues a message on shell.
func (k *Kernel) pushShell(m *wire.Message) {
	if k.besides(m) {
		k.aside.push(newRequest(wire.Shell, m))
		return
	}
	r := newRequest(wire.Shell, m)
	if m.Header.Type == "execute_request" {
		k.cells.Add(1)
		r.replaces = k.prompts.rerun(cellID(m)) // before it is in the queue: what waits there is aborted
	}
	k.shell.push(r)
}

// presence publishes the kernel's state. Front ends show the state they heard last, whatever request it belongs to: after a question that was answered
// while a cell runs they are told again that the kernel is busy.
type presence struct {
	iopub *publisher

	mu      sync.Mutex
	running *wire.Message // the request on shell that is served; nil if there is none
}

// begin says that a request is being served.
func (p *presence) begin(r *request, aside bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if r.channel == wire.Shell && !aside {
		p.running = r.cause
	}
	p.iopub.publish(r.cause, "status", fields{"execution_state": "busy"})
}

// end says that it has been served.
func (p *presence) end(r *request, aside bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if r.channel == wire.Shell && !aside {
		p.running = nil
	}
	p.iopub.publish(r.cause, "status", fields{"execution_state": "idle"})
	if aside && p.running != nil {
		p.iopub.publish(p.running, "status", fields{"execution_state": "busy"})
	}
}
