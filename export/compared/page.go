package compared

import (
	"bytes"
	_ "embed" // for the page
	"html/template"
	"io"
	"slices"
	"strings"

	"rackwright/pack"
)

//go:embed page.html
var pageHTML string

var pageTemplate = template.Must(template.New("compare").Parse(pageHTML))

// content is what the template is filled with.
type content struct {
	Frame, Remark, Note, Left string
	Headline, Cautions        []string
	Picture                   template.HTML
	Tables                    []table
}

type table struct {
	Title string
	Head  []cell
	Rows  [][]cell
}

type cell struct {
	Text   string
	Number bool // stands at the right
	Links  []link
}

type link struct{ Text, To string }

// pictureNote says what is not in the picture.
const pictureNote = "What does not go in is not drawn, nor what is not known where that is much; in a crowd only those have names that nothing beats. Point at a mark to read all about it."

// WritePage writes one HTML page, which needs nothing but itself; it leads to the files of the rows.
func (c Comparison) WritePage(w io.Writer) error {
	lines, err := c.lines()
	if err != nil {
		return err
	}
	var picture bytes.Buffer
	if err := c.WritePicture(&picture); err != nil {
		return err
	}
	cautions, err := c.cautionTexts(lines)
	if err != nil {
		return err
	}
	return pageTemplate.Execute(w, content{
		Frame: c.Frame.Name, Remark: Remark, Note: pictureNote, Left: strings.Join(c.Fixed.Left, ", "),
		Headline: c.headline(lines), Cautions: cautions,
		Picture: template.HTML(picture.String()), //nolint:gosec // our own SVG, whose texts are escaped
		Tables:  c.tables(lines),
	})
}

// tables are those of the page, one for each group of rows.
func (c Comparison) tables(lines []line) []table {
	names := fileNames(c.Rows)
	var list []table
	for rank, title := range []string{"These go in, and no other beats them in everything", "These go in, but others beat them", "Not known", "These do not go in"} {
		t := table{Title: title, Head: c.head()}
		for _, l := range lines {
			if l.rank() == rank {
				t.Rows = append(t.Rows, c.cells(l, names[l.Entry.Row]))
			}
		}
		if len(t.Rows) > 0 {
			list = append(list, t)
		}
	}
	return list
}

func (c Comparison) priced() bool {
	return slices.ContainsFunc(c.Catalogue.Batteries, func(b pack.Battery) bool { return b.Price >= 0 })
}

func (c Comparison) head() []cell {
	head := []cell{{Text: "battery"}, {Text: "joined"}, {Text: "volts", Number: true}, {Text: "kWh", Number: true}, {Text: "goes in"}, {Text: "to spare", Number: true}, {Text: "kg", Number: true}}
	if c.priced() {
		head = append(head, cell{Text: strings.TrimSpace("price " + c.Catalogue.Currency), Number: true})
	}
	for _, name := range c.wheels() {
		head = append(head, cell{Text: name + " wheel", Number: true})
	}
	return append(head, cell{Text: "remark"}, cell{Text: "files"})
}

// cells are those of a row, with links to its files.
func (c Comparison) cells(l line, name string) []cell {
	head := c.head()
	var cells []cell
	for i, text := range c.printed(l, c.priced()) {
		cells = append(cells, cell{Text: text, Number: head[i].Number})
	}
	files := cell{}
	for _, f := range filesOf(l.Outcome, name) {
		folder, _, _ := strings.Cut(f, "/")
		files.Links = append(files.Links, link{strings.TrimSuffix(folder, "s"), f})
	}
	return append(cells, cell{Text: l.remark()}, files)
}
