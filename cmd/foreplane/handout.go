package main

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"foreplane/kernel/course"
	"foreplane/kernel/notebook"
)

func handoutCommand() *cobra.Command {
	var to string
	var limit time.Duration
	cmd := &cobra.Command{
		Use:   "handout NOTEBOOK",
		Short: "Make the student's notebook of an assignment",
		Long: `Handout runs an instructor's notebook and writes the student's to NAME-handout.ipynb, beside it or in the folder given by --to.

The cell of a question begins with //foreplane:question NAME, and with a tolerance if it is not 1 %: //foreplane:question NAME 0.5 %. It
ends in the value that is expected. pitfall(hint, value) in it tells of a value that a known mistake leads to. In the student's
notebook a cell waits in its place for the answer; cells tagged "solution" are left out. The student's notebook is run as
well, without answers: what still needs a solution is an error.

The expected values are in the student's notebook, coded but not secret: it is for practice, not for marks.

` + exitCodeHelp,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return handout(cmd.Context(), cmd.ErrOrStderr(), args[0], cmp.Or(to, filepath.Dir(args[0])), runSettings{limit: limit})
		},
	}
	cmd.Flags().StringVar(&to, "to", "", "write to `DIR`, which is made if it does not exist")
	cmd.Flags().DurationVar(&limit, "limit", 10*time.Minute, "interrupt a cell that takes longer than `TIME`; 0 for no limit")
	return cmd
}

func handout(parent context.Context, messages io.Writer, path, to string, s runSettings) error {
	original, err := readNotebook(path)
	if err != nil {
		return failed(exitInput, err)
	}
	if err := os.MkdirAll(to, 0o755); err != nil {
		return failed(exitOutput, fmt.Errorf("no folder for the handout: %w", err))
	}
	ctx, stop := untilInterrupted(parent)
	defer stop()
	if err := runAll(ctx, original, path, s); err != nil {
		return err
	}
	student, questions, err := course.Handout(original)
	if err != nil {
		return failed(exitInput, fmt.Errorf("%s: %w", path, err))
	}
	text, err := notebook.Format(student)
	if err != nil {
		return failed(exitOutput, err)
	}
	if err := runAll(ctx, student, path, s); err != nil {
		return fmt.Errorf("without its solutions the notebook does not run: %w", err)
	}
	target := filepath.Join(to, strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))+"-handout.ipynb")
	if err := notebook.Save(target, text); err != nil {
		return failed(exitOutput, err)
	}
	fmt.Fprintf(messages, "wrote %s with %d questions; what they expect is coded in it, not secret\n", target, questions)
	return nil
}

// runAll runs a notebook whose cells all have to end well.
func runAll(ctx context.Context, doc *notebook.Document, path string, s runSettings) error {
	report, err := runFresh(ctx, doc, path, s)
	if err != nil {
		return err
	}
	return verdict(ctx, report, nil)
}
