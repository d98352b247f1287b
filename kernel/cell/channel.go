package cell

import (
	"reflect"
)

// operation is a case of a select statement.
type operation struct {
	channel reflect.Value
	send    bool
	value   any
}

// selectCases waits for one of the operations and performs it. It returns the number of the case, -1 for the default, and what was received.
func (m *Machine) selectCases(hasDefault bool, operations ...operation) (int, any, bool) {
	var cases []reflect.SelectCase
	for _, o := range operations {
		c := reflect.SelectCase{Dir: reflect.SelectRecv, Chan: o.channel}
		if o.send {
			c.Dir, c.Send = reflect.SelectSend, valueFor(o.value, o.channel.Type().Elem())
		}
		cases = append(cases, c)
	}
	if hasDefault {
		cases = append(cases, reflect.SelectCase{Dir: reflect.SelectDefault})
	} else {
		cases = append(cases, reflect.SelectCase{Dir: reflect.SelectRecv, Chan: reflect.ValueOf(m.current().stopping)})
	}
	k, v, ok := reflect.Select(cases)
	if k == len(operations) {
		if !hasDefault {
			m.unwind(halted{})
		}
		return -1, nil, false
	}
	if operations[k].send {
		return k, nil, false
	}
	return k, v.Interface(), ok
}

// valueFor returns v as a value of type t, which it is or is assignable to.
func valueFor(v any, t reflect.Type) reflect.Value {
	if v == nil {
		return reflect.Zero(t)
	}
	return reflect.ValueOf(v)
}

// send sends v, unless the program is interrupted first.
func (m *Machine) send(channel, v any) {
	c := reflect.ValueOf(channel)
	x := valueFor(v, c.Type().Elem())
	if c.IsNil() || !c.TrySend(x) {
		m.selectCases(false, operation{c, true, v})
	}
}

// receive receives a value, unless the program is interrupted first; ok is false if the channel is closed.
func (m *Machine) receive(channel any) (v any, ok bool) {
	c := reflect.ValueOf(channel)
	if !c.IsNil() {
		if x, ok := c.TryRecv(); x.IsValid() {
			return x.Interface(), ok
		}
	}
	_, v, ok = m.selectCases(false, operation{channel: c})
	return v, ok
}
