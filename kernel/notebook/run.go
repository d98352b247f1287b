package notebook

import (
	"context"
	"fmt"
	"strings"
	"time"

	"foreplane/kernel"
)

// Tags of cells that [Run] obeys.
const (
	TagMayFail = "raises-exception" // the cell may fail on purpose: the run goes on
	TagSkip    = "skip-execution"   // the cell is not run and keeps the outputs it has
)

// Executor runs cells. A [kernel.Local] is one.
type Executor interface {
	Execute(ctx context.Context, c kernel.Call, on func(kernel.Event)) (kernel.Reply, error)
}

// Options say how to run a notebook. The zero value stops at the first failure and keeps no times.
type Options struct {
	KeepGoing bool          // run the cells behind a failed one too
	Timings   bool          // keep in metadata.execution of each cell when it was run, which makes every run's file another
	Limit     time.Duration // most time that a cell may take; one that takes more is interrupted and has failed; 0 is no limit
	Progress  func(Step)    // called before each cell and at the end; may be nil
}

// Step is how far a run has come. Cells are those that can be run.
type Step struct {
	Done, Cells int
	Cell        int // the cell that is next, counted from 1 over all cells of the notebook; 0 at the end
}

// Report is what became of a run. Cells are counted from 1 over all cells of the notebook.
type Report struct {
	Ran      []int        // to their end, whether well or not
	Skipped  []int        // by their tag
	NotRun   []int        // because a cell before them failed, or the run was ended
	Failures []FailedCell // that were not meant to happen
}

// FailedCell is a cell that failed.
type FailedCell struct {
	Cell int
	ID   string
	Err  *kernel.CellError
}

// Run runs the code cells of a notebook from top to bottom and puts into them what comes of it, in place of what they held before; a cell that is not run
// holds nothing afterwards. Cells cannot ask for input. A failing cell is no error of the run: the report has it. When ctx ends, the cell that runs is
// interrupted, and Run returns the cause of that with all that was done until then; so it does if the kernel is lost.
func Run(ctx context.Context, d *Document, on Executor, o Options) (Report, error) {
	if err := d.RequireGo(); err != nil {
		return Report{}, err
	}
	r := &runner{doc: d, on: on, options: o, collector: newCollector(d)}
	defer r.collector.finish()
	d.Metadata = extend(d.Metadata, Object{"language_info": kernel.LanguageInfo()})
	cells := r.prepare()
	err := r.run(ctx, cells)
	r.progress(len(r.report.Ran), len(cells), 0)
	return r.report, err
}

type runner struct {
	doc       *Document
	on        Executor
	options   Options
	collector *collector
	report    Report
	texts     int // the first cell whose live values, if it is a text, have not been asked for
}

// prepare empties the cells and returns the indices of those to run.
func (r *runner) prepare() []int {
	var cells []int
	for i := range r.doc.Cells {
		c := &r.doc.Cells[i]
		switch {
		case c.Kind != Code:
			c.ForgetText()
		case c.HasTag(TagSkip):
			r.report.Skipped = append(r.report.Skipped, i+1)
		default:
			c.Outputs, c.Count = nil, 0
			delete(c.Metadata, "execution")
			if strings.TrimSpace(c.Source) != "" {
				cells = append(cells, i)
			}
		}
	}
	return cells
}

func (r *runner) run(ctx context.Context, cells []int) error {
	for done, i := range cells {
		if goOn, err := r.text(ctx, i); !goOn {
			r.leave(cells[done:])
			return err
		}
		if ctx.Err() != nil {
			r.leave(cells[done:])
			return context.Cause(ctx)
		}
		r.progress(done, len(cells), i+1)
		failure, err := r.cell(ctx, i)
		if err != nil {
			r.leave(cells[done:])
			return err
		}
		r.report.Ran = append(r.report.Ran, i+1)
		if !r.goesOn(ctx, failure) {
			r.leave(cells[done+1:])
			return context.Cause(ctx)
		}
	}
	_, err := r.text(ctx, len(r.doc.Cells))
	return err
}

// goesOn takes note of a failure, and tells whether the run goes on behind it.
func (r *runner) goesOn(ctx context.Context, failure *FailedCell) bool {
	if failure == nil {
		return true
	}
	r.report.Failures = append(r.report.Failures, *failure)
	return ctx.Err() == nil && r.options.KeepGoing
}

// text puts the values into the text cells up to cell end, and tells whether the run goes on.
func (r *runner) text(ctx context.Context, end int) (bool, error) {
	for {
		failure, err := r.proseUntil(ctx, end)
		if err != nil || failure == nil {
			return err == nil, err
		}
		if !r.goesOn(ctx, failure) {
			return false, context.Cause(ctx)
		}
	}
}

// leave reports cells as not run.
func (r *runner) leave(cells []int) {
	for _, i := range cells {
		r.report.NotRun = append(r.report.NotRun, i+1)
	}
}

func (r *runner) progress(done, cells, next int) {
	if r.options.Progress != nil {
		r.options.Progress(Step{done, cells, next})
	}
}

// cell runs one cell. It returns a failure that was not meant to happen.
func (r *runner) cell(ctx context.Context, i int) (*FailedCell, error) {
	c := &r.doc.Cells[i]
	times := Object{}
	limited, done := r.limit(ctx)
	defer done()
	reply, err := r.on.Execute(limited, kernel.Call{Code: c.Source, ID: c.ID}, func(e kernel.Event) {
		r.collector.add(i, e)
		stamp(times, e)
	})
	if err != nil {
		return nil, err
	}
	if r.options.Timings {
		times["shell.execute_reply"] = now()
		r.collector.annotate(i, times)
	}
	if reply.Err == nil || c.HasTag(TagMayFail) && limited.Err() == nil {
		return nil, nil
	}
	if limited.Err() != nil && ctx.Err() == nil {
		reply.Err = &kernel.CellError{Name: "TimeLimit", Message: fmt.Sprintf("it took longer than %v and was interrupted", r.options.Limit)}
	}
	return &FailedCell{i + 1, c.ID, reply.Err}, nil
}

// limit returns the context of one cell.
func (r *runner) limit(ctx context.Context) (context.Context, context.CancelFunc) {
	if r.options.Limit == 0 {
		return ctx, func() {}
	}
	return context.WithTimeout(ctx, r.options.Limit)
}

// stamp notes when the messages that frame an execution came, under the names that notebook clients use.
func stamp(times Object, e kernel.Event) {
	switch e.Type {
	case "status":
		if e.State == "busy" || e.State == "idle" {
			times["iopub.status."+e.State] = now()
		}
	case "execute_input":
		times["iopub.execute_input"] = now()
	}
}

func now() string { return time.Now().UTC().Format("2006-01-02T15:04:05.000000Z07:00") }
