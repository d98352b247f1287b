package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"foreplane/kernel/notebook"
	"foreplane/kernel/publish"
	"foreplane/kernel/symbols"
)

// publishSettings are the flags of the publish command.
type publishSettings struct {
	to, title, bibliography string
	units, solutions        string
	foldCode, asStored, pdf bool
	run                     runSettings
}

func publishCommand() *cobra.Command {
	var s publishSettings
	cmd := &cobra.Command{
		Use:   "publish NOTEBOOK... --to DIR",
		Short: "Make a site of notebooks: a page for each, and an index",
		Long: `Publish runs notebooks and writes a page for each of them and an index to the folder given by --to. The pages need nothing but
themselves: no script, no server, no request. With --as-stored the outputs that the notebooks hold are published, and nothing is run.

In a text, a link without a text of its own gets the number of what it leads to: [](#fig:ID) and [](#tab:ID) the figure or the table
that the cell with the id ID shows, [](#eq:lift) the formula with \label{eq:lift}, [](#ref:KEY) or [p. 12](#ref:KEY) an
entry of the BibTeX file given by --bibliography.

` + exitCodeHelp,
		Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return publishAll(cmd.Context(), cmd.ErrOrStderr(), args, s)
		},
	}
	f := cmd.Flags()
	f.StringVar(&s.to, "to", "", "write the site to `DIR`, which is made if it does not exist")
	f.StringVar(&s.title, "title", "Notebooks", "title of the index")
	f.StringVar(&s.bibliography, "bibliography", "", "BibTeX `FILE` with what the texts cite")
	f.StringVar(&s.units, "units", "both", "show values in si, in us or in both, where they have been printed in both")
	f.StringVar(&s.solutions, "solutions", "show", "show, fold or omit cells that are tagged \"solution\" or answer a question")
	f.BoolVar(&s.foldCode, "fold-code", false, "fold code away until a reader opens it")
	f.BoolVar(&s.asStored, "as-stored", false, "publish the outputs that the notebooks hold, and run nothing")
	f.BoolVar(&s.pdf, "pdf", false, "write a PDF beside each page, with an installed Chromium")
	f.DurationVar(&s.run.limit, "limit", 10*time.Minute, "interrupt a cell that takes longer than `TIME`; 0 for no limit")
	cmd.MarkFlagRequired("to")
	return cmd
}

// pageOf is a notebook on its way to a page.
type pageOf struct {
	path string
	doc  *notebook.Document
	publish.Entrance
}

func publishAll(parent context.Context, messages io.Writer, paths []string, s publishSettings) error {
	options, err := s.options()
	if err != nil {
		return err
	}
	pages, err := readPages(paths)
	if err != nil {
		return failed(exitInput, err)
	}
	ctx, stop := untilInterrupted(parent)
	defer stop()
	if !s.asStored {
		for _, p := range pages {
			if err := runAll(ctx, p.doc, p.path, s.run); err != nil {
				return fmt.Errorf("%s: %w", p.path, err)
			}
		}
	}
	files, err := render(pages, options, s.title)
	if err != nil {
		return failed(exitInput, err)
	}
	if err := writeSite(s.to, files); err != nil {
		return failed(exitOutput, err)
	}
	for _, p := range pages {
		if s.pdf {
			if err := printPage(ctx, filepath.Join(s.to, p.File)); err != nil {
				return failed(exitOutput, err)
			}
		}
	}
	fmt.Fprintf(messages, "wrote %s and %d pages\n", filepath.Join(s.to, "index.html"), len(pages))
	return nil
}

// options are those that all pages share.
func (s publishSettings) options() (publish.Options, error) {
	o := publish.Options{Caution: true, Strict: true, FoldCode: s.foldCode, IsUnit: func(symbol string) bool { return len(symbols.Library.Like(symbol)) > 0 }}
	var ok, ok2 bool
	o.Units, ok = map[string]publish.Units{"both": publish.BothUnits, "si": publish.SIUnits, "us": publish.CustomaryUnits}[s.units]
	o.Solutions, ok2 = map[string]publish.Solutions{"show": publish.ShowSolutions, "fold": publish.FoldSolutions, "omit": publish.OmitSolutions}[s.solutions]
	if !ok {
		return o, failed(exitUsage, fmt.Errorf("--units is %q; it is si, us or both", s.units))
	}
	if !ok2 {
		return o, failed(exitUsage, fmt.Errorf("--solutions is %q; it is show, fold or omit", s.solutions))
	}
	if s.bibliography != "" {
		data, err := os.ReadFile(s.bibliography)
		if err == nil {
			o.Bibliography, err = publish.ReadBibTeX(string(data))
		}
		if err != nil {
			return o, failed(exitInput, fmt.Errorf("%s: %w", s.bibliography, err))
		}
	}
	return o, nil
}

// readPages reads the notebooks, whose pages have different names.
func readPages(paths []string) ([]*pageOf, error) {
	var out []*pageOf
	for _, path := range paths {
		doc, err := readNotebook(path)
		if err != nil {
			return nil, err
		}
		p := &pageOf{path: path, doc: doc}
		p.File = strings.TrimSuffix(filepath.Base(path), filepath.Ext(path)) + ".html"
		p.Title, p.Summary = publish.Summary(doc)
		if p.File == "index.html" || slices.ContainsFunc(out, func(q *pageOf) bool { return q.File == p.File }) {
			return nil, fmt.Errorf("%s: its page would be %s, which there is already", path, p.File)
		}
		out = append(out, p)
	}
	return out, nil
}

// render makes all files of the site before any is written.
func render(pages []*pageOf, options publish.Options, title string) (map[string][]byte, error) {
	files := map[string][]byte{}
	var list []publish.Entrance
	for i, p := range pages {
		site := &publish.Site{Title: title}
		if i > 0 {
			site.Before = &pages[i-1].Entrance
		}
		if i < len(pages)-1 {
			site.Behind = &pages[i+1].Entrance
		}
		o := options
		o.Site, o.Files = site, os.DirFS(filepath.Dir(p.path))
		var b bytes.Buffer
		if err := publish.Page(&b, p.doc, o); err != nil {
			return nil, fmt.Errorf("%s: %w", p.path, err)
		}
		files[p.File], list = b.Bytes(), append(list, p.Entrance)
	}
	var b bytes.Buffer
	if err := publish.Index(&b, title, "en", list); err != nil {
		return nil, err
	}
	files["index.html"] = b.Bytes()
	return files, nil
}

func writeSite(dir string, files map[string][]byte) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("no folder for the site: %w", err)
	}
	for name, data := range files {
		if err := notebook.Save(filepath.Join(dir, name), data); err != nil {
			return err
		}
	}
	return nil
}

// browsers are the names under which a Chromium is installed.
var browsers = []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable"}

// printPage writes the PDF of a page.
func printPage(ctx context.Context, page string) error {
	var browser string
	for _, name := range browsers {
		if path, err := exec.LookPath(name); err == nil {
			browser = cmp.Or(browser, path)
		}
	}
	if browser == "" {
		return errors.New("--pdf needs an installed Chromium: none of " + strings.Join(browsers, ", ") + " is in the path")
	}
	absolute, err := filepath.Abs(page)
	if err != nil {
		return err
	}
	profile, err := os.MkdirTemp("", "foreplane-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(profile)
	ctx, cancel := context.WithTimeout(ctx, time.Minute)
	defer cancel()
	args := []string{"--headless", "--disable-gpu", "--user-data-dir=" + profile, "--no-pdf-header-footer", "--print-to-pdf=" + strings.TrimSuffix(absolute, ".html") + ".pdf"}
	if os.Geteuid() == 0 {
		args = append(args, "--no-sandbox") // Chromium refuses to start for root without
	}
	said, err := exec.CommandContext(ctx, browser, append(args, "file://"+absolute)...).CombinedOutput()
	if err != nil {
		return fmt.Errorf("%s: %w: %s", browser, err, said)
	}
	return nil
}
