package colour

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"
)

var (
	//go:embed data/cie_1931_2deg_1nm.csv
	observerCSV string
	//go:embed data/cie_daylight_basis.csv
	daylightCSV string
	//go:embed data/cie_illuminants_5nm.csv
	illuminantCSV string
)

// The tables are read on first use, so that a command that needs no colour pays nothing.
var (
	observer      = sync.OnceValue(func() *[3]Spectrum { return threeColumns(observerCSV) })
	daylightBasis = sync.OnceValue(func() *[3]Spectrum { return threeColumns(daylightCSV) })
	illuminants   = sync.OnceValue(readIlluminants)
)

// rows calls visit with each row of an embedded table that falls on a sample. A broken
// table is our own mistake, so it panics.
func rows(csv string, visit func(i int, cells string)) {
	_, body, _ := strings.Cut(csv, "\n")
	seen := 0
	for line := range strings.Lines(body) {
		nm, cells, _ := strings.Cut(strings.TrimRight(line, "\r\n"), ",")
		at, err := strconv.Atoi(nm)
		if err != nil {
			panic("colour table: " + err.Error())
		}
		if at >= First && at <= Last && (at-First)%Step == 0 {
			visit((at-First)/Step, cells)
			seen++
		}
	}
	if seen != Samples {
		panic(fmt.Sprintf("colour table: %d rows of %d", seen, Samples))
	}
}

// cell splits the first number off a row.
func cell(cells string) (x float64, rest string) {
	first, rest, _ := strings.Cut(cells, ",")
	x, err := strconv.ParseFloat(first, 64)
	if err != nil {
		panic("colour table: " + err.Error())
	}
	return x, rest
}

func threeColumns(csv string) *[3]Spectrum {
	var t [3]Spectrum
	rows(csv, func(i int, cells string) {
		for c := range t {
			t[c][i], cells = cell(cells)
		}
	})
	return &t
}

type illuminantTable struct {
	names []string
	at    map[string]Spectrum
}

func readIlluminants() illuminantTable {
	head, _, _ := strings.Cut(illuminantCSV, "\n")
	names := strings.Split(strings.TrimSpace(head), ",")[1:]
	columns := make([]Spectrum, len(names))
	rows(illuminantCSV, func(i int, cells string) {
		for c := range columns {
			columns[c][i], cells = cell(cells)
		}
	})
	t := illuminantTable{names, make(map[string]Spectrum, len(names))}
	for c, name := range names {
		t.at[name] = columns[c]
	}
	return t
}
