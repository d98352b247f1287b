package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/schollz/progressbar/v3"
	"github.com/spf13/cobra"
	"golang.org/x/term"

	"foreplane/kernel"
	"foreplane/kernel/cell"
	"foreplane/kernel/notebook"
	"foreplane/kernel/publish"
	"foreplane/kernel/worker"
)

// runSettings are the flags of the run command.
type runSettings struct {
	to        string
	keepGoing bool
	timings   bool
	limit     time.Duration
}

func runCommand() *cobra.Command {
	var s runSettings
	cmd := &cobra.Command{
		Use:   "run NOTEBOOK",
		Short: "Run a notebook from top to bottom and write the results",
		Long: `Run executes all code cells of a notebook in order, in a fresh kernel and in the notebook's own folder. It writes the executed
notebook to NAME.out.ipynb and a readable page to NAME.html, beside the notebook or in the folder given by --to. The
notebook itself is not changed. Equal notebooks give equal files, byte for byte.

It stops at the first cell that fails or takes longer than --limit, unless --keep-going is given; what was done until
then is written. Ctrl-C does the same; a second one ends at once.

` + exitCodeHelp,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return run(cmd.Context(), cmd.ErrOrStderr(), args[0], s)
		},
	}
	cmd.Flags().StringVar(&s.to, "to", "", "write the results to `DIR`, which is made if it does not exist")
	cmd.Flags().BoolVar(&s.keepGoing, "keep-going", false, "run the cells after one that failed, too")
	cmd.Flags().DurationVar(&s.limit, "limit", 10*time.Minute, "interrupt a cell that takes longer than `TIME`; 0 for no limit")
	cmd.Flags().BoolVar(&s.timings, "timings", false, "keep in the executed notebook when each cell ran")
	return cmd
}

func run(parent context.Context, messages io.Writer, path string, s runSettings) error {
	doc, err := readNotebook(path)
	if err != nil {
		return failed(exitInput, err)
	}
	out, err := resultsFor(path, s.to)
	if err != nil {
		return failed(exitOutput, err)
	}
	ctx, stop := untilInterrupted(parent)
	defer stop()
	report, clashes, runErr := execute(ctx, doc, filepath.Dir(path), strings.TrimSuffix(out.page, "html"), s)
	if err := out.write(doc, filepath.Dir(path)); err != nil {
		return failed(exitOutput, err)
	}
	fmt.Fprintf(messages, "wrote %s\nwrote %s\n", out.notebook, out.page)
	for _, c := range clashes {
		fmt.Fprintf(messages, "note: %s is set by %s: what %s come to depends on the order in which they run\n",
			c.Name, cellList(places(doc, c.Setters)), cellList(places(doc, c.Readers)))
	}
	return verdict(ctx, report, runErr)
}

// readNotebook reads a notebook whose code cells are Go.
func readNotebook(path string) (*notebook.Document, error) {
	doc, err := notebook.ReadFile(path)
	if err == nil {
		err = doc.RequireGo()
	}
	if pathErr := (*os.PathError)(nil); err != nil && !errors.As(err, &pathErr) {
		err = fmt.Errorf("%s: %w", path, err)
	}
	return doc, err
}

// places returns where cells stand in a notebook.
func places(doc *notebook.Document, ids []string) []int {
	var at []int
	for i, c := range doc.Cells {
		if slices.Contains(ids, c.ID) {
			at = append(at, i+1)
		}
	}
	return at
}

// execute runs the cells in a kernel of their own, which keeps long texts in files whose names begin with texts. It also tells which results depend on the
// order of runs.
func execute(ctx context.Context, doc *notebook.Document, dir, texts string, s runSettings) (notebook.Report, []cell.Clash, error) {
	engine, err := newEngine(dir, worker.Options{})
	if err != nil {
		return notebook.Report{}, nil, err
	}
	k, err := kernel.NewLocal(kernel.Options{Engine: engine, Info: kernelInfo(), Texts: texts})
	if err != nil {
		engine.Close()
		return notebook.Report{}, nil, err
	}
	report, err := notebook.Run(ctx, doc, k, notebook.Options{KeepGoing: s.keepGoing, Timings: s.timings, Limit: s.limit, Progress: progress(os.Stderr)})
	return report, engine.Clashes(), errors.Join(err, k.Close())
}

// progress draws a bar on a terminal, and nothing elsewhere.
func progress(terminal *os.File) func(notebook.Step) {
	if !term.IsTerminal(int(terminal.Fd())) {
		return nil
	}
	var bar *progressbar.ProgressBar
	return func(s notebook.Step) {
		if bar == nil {
			bar = progressbar.NewOptions(s.Cells, progressbar.OptionSetWriter(terminal), progressbar.OptionShowCount(), progressbar.OptionClearOnFinish())
		}
		bar.Describe(fmt.Sprintf("cell %d", s.Cell))
		if s.Cell == 0 {
			bar.Finish()
			return
		}
		bar.Set(s.Done)
	}
}

// verdict turns what became of a run into the command's error.
func verdict(ctx context.Context, report notebook.Report, err error) error {
	switch {
	case ctx.Err() != nil:
		return failed(exitInterrupted, fmt.Errorf("interrupted; not run: %s", cellList(report.NotRun)))
	case err != nil:
		return failed(exitKernel, err)
	case len(report.Failures) > 0:
		return failed(exitCellFailed, errors.New(failureText(report)))
	}
	return nil
}

func failureText(report notebook.Report) string {
	var lines []string
	for _, f := range report.Failures {
		lines = append(lines, fmt.Sprintf("cell %d of the notebook failed: %v", f.Cell, f.Err))
	}
	if len(report.NotRun) > 0 {
		lines = append(lines, "not run: "+cellList(report.NotRun))
	}
	return strings.Join(lines, "\n")
}

func cellList(cells []int) string {
	switch len(cells) {
	case 0:
		return "none"
	case 1:
		return fmt.Sprintf("cell %d", cells[0])
	}
	return "cells " + strings.Join(strings.Fields(strings.Trim(fmt.Sprint(cells), "[]")), ", ")
}

// results are the files that a run writes.
type results struct{ notebook, page string }

// resultsFor names the results of a notebook and makes sure, before anything runs, that they can be written.
func resultsFor(path, to string) (results, error) {
	name := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	dir := cmp.Or(to, filepath.Dir(path))
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return results{}, fmt.Errorf("no folder for the results: %w", err)
	}
	trial, err := os.CreateTemp(dir, "."+name+"-*")
	if err != nil {
		return results{}, fmt.Errorf("cannot write results to %s: %w (use --to for another folder)", dir, errors.Unwrap(err))
	}
	err = errors.Join(trial.Close(), os.Remove(trial.Name()))
	return results{filepath.Join(dir, name+".out.ipynb"), filepath.Join(dir, name+".html")}, err
}

// write renders both results before it writes the first, and replaces each file as a whole.
func (r results) write(doc *notebook.Document, dir string) error {
	text, err := notebook.Format(doc)
	if err != nil {
		return err
	}
	var page bytes.Buffer
	if err := publish.Page(&page, doc, publish.Options{Caution: true, Files: os.DirFS(dir)}); err != nil {
		return err
	}
	if err := notebook.Save(r.notebook, text); err != nil {
		return err
	}
	return notebook.Save(r.page, page.Bytes())
}
