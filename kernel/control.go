package kernel

import "context"

// interruptRequest answers; the interrupt itself has happened when the request arrived.
func (k *Kernel) interruptRequest(context.Context, *request) (fields, error) {
	return fields{"status": "ok"}, nil
}

// shutDown answers on iopub as well: all clients of the kernel must know. The process ends once [Kernel.Done] is closed.
func (k *Kernel) shutDown(_ context.Context, r *request) (fields, error) {
	var in struct {
		Restart bool `json:"restart"`
	}
	if err := r.decode(&in); err != nil {
		return nil, err
	}
	content := fields{"status": "ok", "restart": in.Restart}
	k.iopub.publish(r.cause, "shutdown_reply", content)
	r.after = k.shutdown
	return content, nil
}
