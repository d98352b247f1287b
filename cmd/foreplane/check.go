package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"foreplane/kernel/notebook"
	"foreplane/kernel/publish"
)

func checkCommand() *cobra.Command {
	var tolerance float64
	s := runSettings{keepGoing: true}
	cmd := &cobra.Command{
		Use:   "check NOTEBOOK...",
		Short: "Run notebooks again and tell what is no longer so",
		Long: `Check runs notebooks from scratch and compares what they have stored with what comes out now: numbers within --tolerance or in the last
place that is printed, figures by the data they show and what they are drawn of. It tells where results drift or are missing, where cells were run
in another order than they stand, which links and pictures are broken, and which pictures have no text in their place. The
notebooks are not changed. A notebook without any outputs is only run, and its links and pictures are looked at.

Outputs of a cell tagged "varies" are compared in kind only.

` + exitCodeHelp + " What is found is code 1, too.",
		Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return checkAll(cmd.Context(), cmd.OutOrStdout(), args, tolerance, s)
		},
	}
	cmd.Flags().Float64Var(&tolerance, "tolerance", 1e-6, "how far numbers may be off, relative to their size")
	cmd.Flags().DurationVar(&s.limit, "limit", 10*time.Minute, "interrupt a cell that takes longer than `TIME`; 0 for no limit")
	return cmd
}

func checkAll(parent context.Context, out io.Writer, paths []string, tolerance float64, s runSettings) error {
	if !(tolerance >= 0 && tolerance < 1) {
		return failed(exitUsage, fmt.Errorf("--tolerance is %v; it lies from 0 to below 1", tolerance))
	}
	ctx, stop := untilInterrupted(parent)
	defer stop()
	found := 0
	for _, path := range paths {
		n, err := check(ctx, out, path, tolerance, s)
		if err != nil {
			return err
		}
		found += n
	}
	if found > 0 {
		return failed(exitCellFailed, fmt.Errorf("%d findings", found))
	}
	return nil
}

// check tells what it finds in one notebook, and how much that is.
func check(ctx context.Context, out io.Writer, path string, tolerance float64, s runSettings) (int, error) {
	stored, err := readNotebook(path)
	if err != nil {
		return 0, failed(exitInput, err)
	}
	fresh, err := readNotebook(path)
	if err != nil {
		return 0, failed(exitInput, err)
	}
	report, err := runFresh(ctx, fresh, path, s)
	if err != nil {
		return 0, err
	}
	found := publish.Lint(fresh, os.DirFS(filepath.Dir(path)))
	for _, f := range report.Failures {
		found = append(found, notebook.Difference{Cell: f.Cell, ID: f.ID, Reason: "it fails: " + f.Err.Error()})
	}
	if stored.HasOutputs() {
		found = append(found, notebook.Compare(stored, fresh, tolerance)...)
	}
	for _, d := range found {
		fmt.Fprintf(out, "%s: %s\n", path, d)
	}
	if len(found) == 0 {
		fmt.Fprintf(out, "%s: as stored\n", path)
	}
	return len(found), nil
}

// runFresh runs all cells of a notebook; that some fail is no error.
func runFresh(ctx context.Context, doc *notebook.Document, path string, s runSettings) (notebook.Report, error) {
	texts, err := os.MkdirTemp("", "foreplane-*")
	if err != nil {
		return notebook.Report{}, failed(exitOutput, err)
	}
	defer os.RemoveAll(texts)
	report, _, err := execute(ctx, doc, filepath.Dir(path), filepath.Join(texts, "text"), s)
	var exit *exitError
	if err := verdict(ctx, notebook.Report{NotRun: report.NotRun}, err); errors.As(err, &exit) {
		return report, exit
	}
	return report, nil
}

func diffCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "diff BEFORE AFTER",
		Short: "Tell how two notebooks differ, cell by cell",
		Long: `Diff tells in lines how two notebooks differ: cells are the same if their ids are, wherever they stand. It prints nothing if cells
and outputs are equal, and leaves with code 1 if they are not.`,
		Args: cobra.ExactArgs(2),
		RunE: func(cmd *cobra.Command, args []string) error { return diff(cmd.OutOrStdout(), args[0], args[1]) },
	}
}

func diff(out io.Writer, before, after string) error {
	a, err := notebook.ReadFile(before)
	if err != nil {
		return failed(exitInput, err)
	}
	b, err := notebook.ReadFile(after)
	if err != nil {
		return failed(exitInput, err)
	}
	text := notebook.Diff(a, b)
	if text == "" {
		return nil
	}
	io.WriteString(out, text)
	return failed(exitCellFailed, errors.New("they differ"))
}
