package pack_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame/strict"
	"rackwright/geom"
	"rackwright/pack"
)

const catalogueYAML = `format: 1
catalogue: two
currency: EUR
batteries:
  - name: small
    size: [181, 77, 167]
    mass: 6.1
    stand: [upright, on-side]
    volts: 12
    amp_hours: 18
    price: 40
    posts:
      - {name: plus, face: top, at: [22, 20], diameter: 16, height: 6, polarity: "+"}
  - {name: cell, size: [7.5 in, 40, 120], volts: 3.2, amp_hours: 50}
`

const catalogueCSV = `name,Length,width_mm,height,mass_kg,volts,amp_hours,price,stand,plus
small,181,77,167,6.1,12,18,40,upright on-side,top 22 20 16 6
"cell",7.5 in,40,120,,3.2,50,,,
`

// Both forms of a catalogue read to the same batteries.
func TestCatalogueInBothForms(t *testing.T) {
	fromYAML, err := pack.ReadCatalogue(strings.NewReader(catalogueYAML), "c.yaml")
	require.NoError(t, err)
	fromCSV, err := pack.ReadCatalogueCSV(strings.NewReader(catalogueCSV), "folder/two.csv")
	require.NoError(t, err)
	require.Equal(t, "two", fromCSV.Name)
	require.Equal(t, []int{2, 3}, []int{fromCSV.Batteries[0].Line, fromCSV.Batteries[1].Line})
	for _, c := range []*pack.Catalogue{fromYAML, fromCSV} {
		require.Len(t, c.Batteries, 2)
		require.Equal(t, 40.0, c.Batteries[0].Price)
		require.Negative(t, c.Batteries[1].Price)
		require.Equal(t, 7.5*geom.MillimetresPerInch, c.Batteries[1].Size.X)
		for i := range c.Batteries {
			c.Batteries[i].Line = 0
			for k := range c.Batteries[i].Posts {
				c.Batteries[i].Posts[k].Line = 0
			}
		}
	}
	require.Equal(t, fromYAML.Batteries, fromCSV.Batteries)
	other, err := pack.ReadCatalogueCSV(strings.NewReader(strings.NewReplacer(",", ";", "7.5 in", "190.5").Replace(catalogueCSV)), "two.csv")
	require.NoError(t, err)
	require.Equal(t, 190.5, other.Batteries[1].Size.X)
}

// What is wrong is told at its line and column, with the cure.
func TestCatalogueErrors(t *testing.T) {
	const head = "name,length,width,height,volts,amp_hours,mass\n"
	for _, c := range []struct {
		text         string
		line, column int
		words        string
	}{
		{"name,length,width,volts,amp_hours\na,1,2,3,4\n", 1, 1, "the column height is missing"},
		{"name,length,width,height,volts,amp_hours,colour\n", 1, 42, `"colour" is no heading here`},
		{"name,length,width,height,volts,amp_hours,volts\n", 1, 42, "a second time"},
		{head + "a,100,50,60,12,7,2,5\n", 2, 1, "16.7, not 16,7"},
		{head + "a,100,50,60,12,7\n", 2, 1, "missing at its end"},
		{head + "a,100,50,60,12,7,\"2,5\"\n", 2, 18, "write 2.5"},
		{strings.ReplaceAll(head, ",", ";") + "a;100;50;60;12;7;2,5\n", 2, 18, "write 2.5"},
		{head + "a,100,50,60,12,7,2\nb,100,fifty,60,12,7,2\n", 3, 7, "fifty"},
		{head + "a,100,50,60,0,7,2\n", 2, 13, "more than 0"},
		{head + "a,100,50,60,,7,2\n", 2, 1, "volts is missing"},
		{head + "a,100,50,60,12,7,2\na,100,50,60,12,7,2\n", 3, 1, "another battery has this name"},
		{head + ",100,50,60,12,7,2\n", 2, 1, "has to be text"},
		{head + "a,-100,50,60,12,7,2\n", 2, 3, "a size in mm"},
		{head + "a,100,50,60,12,7,\"2\nb,1,1,1,1,1,1\n", 2, 0, "no table in CSV"},
		{head, 1, 1, "no battery below"},
		{"", 1, 1, "no line of headings"},
	} {
		_, err := pack.ReadCatalogueCSV(strings.NewReader(c.text), "c.csv")
		var all strict.Errors
		require.ErrorAs(t, err, &all, c.text)
		require.Contains(t, all[0].Text, c.words, c.text)
		require.Equal(t, "c.csv", all[0].File)
		require.Equal(t, c.line, all[0].Line, c.text)
		if c.column > 0 {
			require.Equal(t, c.column, all[0].Column, c.text)
			require.Equal(t, strings.Split(c.text, "\n")[c.line-1], all[0].Source)
		}
	}
	for text, words := range map[string]string{
		"format: 1\ncatalogue: c\nbatteries: []\n": "c.yaml:3:12: a catalogue needs at least one battery",
		"format: 1\ncatalogue: c\nbatteries:\n  - {name: a, size: [1, 2, 3], volts: 12, amp_hours: 7, count: 4}\n": "leave out count",
		"format: 1\ncatalogue: c\nbatteries:\n  - {name: a, size: [1, 2, 3], amp_hours: 7}\n":                      "c.yaml:4:5: the key volts is missing",
		"format: 2\ncatalogue: c\nbatteries:\n  - {name: a, size: [1, 2, 3], amp_hours: 7, volts: 1, price: -3}\n": "a price is from 0",
	} {
		_, err := pack.ReadCatalogue(strings.NewReader(text), "c.yaml")
		require.ErrorContains(t, err, words)
	}
}

// No text makes the readers fail otherwise than with a place.
func FuzzReadCatalogueCSV(f *testing.F) {
	f.Add(catalogueCSV)
	f.Add("name;length;width;height;volts;amp_hours\n\"a: [\";1;2;3;4;5\n")
	f.Fuzz(func(t *testing.T, text string) {
		c, err := pack.ReadCatalogueCSV(strings.NewReader(text), "c.csv")
		if err == nil {
			require.NotEmpty(t, c.Batteries)
			return
		}
		var all strict.Errors
		require.ErrorAs(t, err, &all)
		for _, e := range all {
			require.Positive(t, e.Line, "%q: %v", text, e)
		}
	})
}
