package compared

import (
	"fmt"
	"io"
	"math"

	"rackwright/export"
	"rackwright/export/layoutfile"
	"rackwright/pack/compare"
)

// Folders within the output folder.
const (
	packsFolder   = "packs"
	layoutsFolder = "layouts"
	proofsFolder  = "proofs"
)

// Folder is a folder within the output folder, and the files in it.
type Folder struct {
	Name  string // empty for the output folder itself
	Files []export.File
}

// Files are all files of a whole comparison.
func (c Comparison) Files() []Folder {
	names := fileNames(c.Rows)
	packs, layouts, proofs := Folder{Name: packsFolder}, Folder{Name: layoutsFolder}, Folder{Name: proofsFolder}
	for _, r := range c.Rows {
		name := names[r.Entry.Row]
		packs.add(name+".pack.yaml", func(w io.Writer) error {
			_, err := io.WriteString(w, c.Fixed.PackFile(r.Entry))
			return err
		})
		if r.Verdict.GoesIn() {
			layouts.add(name+".layout.yaml", func(w io.Writer) error {
				return layoutfile.Write(w, layoutfile.File{Layout: r.Layout, Order: r.Order})
			})
		}
		if r.Proof != nil {
			proofs.add(name+".proof.json", func(w io.Writer) error {
				_, err := w.Write(r.Proof)
				return err
			})
		}
	}
	top := Folder{}
	top.add("compare.html", c.WritePage)
	top.add("compare.svg", c.WritePicture)
	top.add("compare.csv", c.WriteCSV)
	top.add("compare.json", c.WriteJSON)
	var list []Folder
	for _, f := range []Folder{packs, layouts, proofs, top} { // the page last: it leads to the others
		if len(f.Files) > 0 {
			list = append(list, f)
		}
	}
	return list
}

func (f *Folder) add(name string, write func(io.Writer) error) {
	f.Files = append(f.Files, export.File{Name: name, Write: write})
}

// fileNames are parts of file names for rows, by their number.
func fileNames(rows []compare.Row) map[int]string {
	var batteries []string
	at := map[string]int{}
	for _, r := range rows {
		if _, ok := at[r.Battery.Name]; !ok {
			at[r.Battery.Name] = len(batteries)
			batteries = append(batteries, r.Battery.Name)
		}
	}
	bases := export.FileNames(batteries)
	names := map[int]string{}
	for _, r := range rows {
		names[r.Entry.Row] = fmt.Sprintf("%s-x%d", bases[at[r.Battery.Name]], r.Count)
	}
	return names
}

// clean takes off what sums of decimals leave behind the ninth digit.
func clean(v float64) float64 { return math.Round(v*1e9) / 1e9 }
