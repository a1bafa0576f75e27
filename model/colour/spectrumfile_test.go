package colour_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"falloff/model/colour"
	"falloff/model/source"
)

func spectrumFile(text string) *source.File {
	return &source.File{Name: "lamp.txt", Text: []byte(text)}
}

// The same points, a ramp with a bend at 550 nm, in every form the reader takes. The
// values between are known by hand.
func TestSpectrumFileForms(t *testing.T) {
	const cgats = `CGATS.17
ORIGINATOR "bench"  # a remark
KEYWORD "SPECTRAL_BANDS"
SPECTRAL_BANDS "3"
NUMBER_OF_FIELDS 4
BEGIN_DATA_FORMAT
SAMPLE_ID %s
END_DATA_FORMAT
NUMBER_OF_SETS 1
BEGIN_DATA
"BEGIN_DATA 1" 0 0.5 1
END_DATA
`
	for name, text := range map[string]string{
		"commas":          "nm,value\n400,0\n550,0.5\n700,1\n",
		"no heading":      "400,0\n550,0.5\n700,1",
		"CRLF":            "\ufeffnm;T\r\n400;0\r\n550;0,5\r\n700;1,0\r\n\r\n",
		"tabs":            "# measured\n\nnm\tT\n400\t0\n550\t0,5\n700\t1\n",
		"spaces":          "400   0\n 550 .5\n700 1e0\n",
		"quotes":          "\"nm\",\"T\"\n\"400\",\"0\"\n\"550\",\"0,5\"\n\"700\",\"1\"\n",
		"spreadsheet":     "nm;T;;\n400;0;;\n550;0,5;;\n700;1;;\n",
		"uneven":          "nm, T\n400, 0\n475, 0.25\n476.5, 0.255\n550, 0.5\n700, 1\n",
		"per cent":        "nm;T (%)\n400;0\n550;50\n700;100\n",
		"noise":           "nm;T\n390;-0.004\n400;-0.001\n550;0.5\n700;1\n710;1.004\n",
		"CGATS":           fmt.Sprintf(cgats, "SPEC_400 SPEC_550 SPEC_700"),
		"CGATS long":      fmt.Sprintf(cgats, "SPECTRAL_NM_400 SPECTRAL_NM_550 SPECTRAL_NM_700"),
		"CGATS over 100":  strings.Replace(fmt.Sprintf(cgats, "spec_400.0 nm550 SPECTRAL_NM700"), "0 0.5 1", "0\n50 100", 1) + "SPECTRAL_NORM \"100.0\"\n",
		"CGATS no counts": "BEGIN_DATA_FORMAT\nSPEC_400 SPEC_550 SPEC_700\nEND_DATA_FORMAT\nBEGIN_DATA\n0 0.5\n1\nEND_DATA",
	} {
		t.Run(name, func(t *testing.T) {
			g, err := colour.ReadTransmittance(spectrumFile(text))
			if err != nil {
				t.Fatal(err)
			}
			s, err := colour.ReadSpectrum(spectrumFile(text))
			if err != nil {
				t.Fatal(err)
			}
			for i := range s {
				nm := colour.Wavelength(i)
				want := min(1, max(0, nm-400)/300)
				closeTo(t, "transmittance", g.T[i], want, 1e-12)
				closeTo(t, "power", s[i], want, 5e-3) // the noise above 1 moves the peak
			}
			closeTo(t, "at 412.5 nm", g.At(412.5), 12.5/300, 1e-12)
		})
	}
}

// A file that cannot be right is refused whole, with the place and what was expected.
func TestSpectrumFileRefused(t *testing.T) {
	const head = "BEGIN_DATA_FORMAT\nSPEC_400 SPEC_700\nEND_DATA_FORMAT\n"
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "lamp.txt: the file holds 0 points; a spectrum was expected, wavelength in nm and value"},
		{"heading only", "nm,T\n", "the file holds 0 points"},
		{"a letter", "nm,T\n400,0\n55O,0.5\n700,1\n", `lamp.txt:3:1: a wavelength in nm was expected, found "55O"`},
		{"a word", "400,0\n550, dark\n700,1\n", `lamp.txt:2:6: a number was expected, found "dark"`},
		{"two headings", "nm,T\nnm,1\n400,0\n", `lamp.txt:2:1: a wavelength in nm was expected, found "nm"`},
		{"three columns", "400;1;2\n700;1;2\n", "lamp.txt:1:1: 2 columns were expected, wavelength in nm and value, with a semicolon between them; found 3"},
		{"commas of both kinds", "400,0,5\n700,1,0\n", "found 3; if the comma is the decimal mark, put a semicolon between the columns"},
		{"mixed marks", "400;0,5\n700;0.5\n", `lamp.txt:2:5: the file has both decimal points and decimal commas, up to "0.5"`},
		{"thousands", "400;1.000,5\n700;1\n", `lamp.txt:1:5: a number was expected, found "1.000,5"`},
		{"open quote", "\"400,0\n700,1\n", "lamp.txt:1:1: a wavelength and a value were expected"},
		{"hexadecimal", "400;0x1p3\n700;1\n", `lamp.txt:1:5: a number was expected, found "0x1p3"`},
		{"infinite", "400;inf\n700;1\n", `a number was expected, found "inf"`},
		{"too large", "400;1e999\n700;1\n", `a number was expected, found "1e999"`},
		{"falling", "400,1\n390,1\n700,1\n", "lamp.txt:2:1: the wavelength 390 nm does not rise above 400 nm before it (see also lamp.txt:1:1)"},
		{"twice", "400,1\n400,1\n700,1\n", "lamp.txt:2:1: the wavelength 400 nm does not rise"},
		{"negative wavelength", "-400,1\n700,1\n", "lamp.txt:1:1: the wavelength -400 is not above 0; nm was expected"},
		{"begins late", "nm,T\n405,1\n700,1\n", "lamp.txt:2:1: the spectrum begins at 405 nm; it was expected to reach from 400 to 700 nm"},
		{"ends early", "400,1\n695,1\n", "lamp.txt:2:1: the spectrum ends at 695 nm"},
		{"micrometres", "0.4,1\n0.7,1\n", "the spectrum ends at 0.7 nm"},
		{"negative", "400,1\n550,-0.02\n700,1\n", "lamp.txt:2:5: the value at 550 nm is -0.02; "},
		{"all negative", "400,-1\n700,-1\n", "lamp.txt:1:5: the value at 400 nm is -1; "},
		{"Latin-1", "nm,\xb5W\n400,1\n700,1\n", "lamp.txt: this is not UTF-8 text; save the file as UTF-8"},
		{"UTF-16", "n\x00m\x00", "lamp.txt: this is not UTF-8 text"},
		{"too long", strings.Repeat("#", 1<<20+1), "lamp.txt: the file is over the limit of 1 MB"},
		{"no data", head, "lamp.txt: there is no BEGIN_DATA block"},
		{"not ended", head + "BEGIN_DATA\n1 1\n", "lamp.txt:4:1: the block that begins here has no END line"},
		{"data first", "BEGIN_DATA\n1 1\nEND_DATA\n", "lamp.txt:1:1: BEGIN_DATA_FORMAT with the names of the fields was expected before BEGIN_DATA"},
		{"nested", "BEGIN_DATA_FORMAT\nSPEC_400\nBEGIN_DATA\n1\nEND_DATA", "lamp.txt:3:1: BEGIN_DATA stands inside another block"},
		{"two sets", head + "BEGIN_DATA\n1 1\n1 1\nEND_DATA\n", "lamp.txt:7:1: one set of 2 values was expected, one for each field; found 4 values; keep one spectrum in a file"},
		{"two sets said", "NUMBER_OF_SETS 2\n" + head + "BEGIN_DATA\n1 1\n1 1\nEND_DATA\n", `lamp.txt:1:16: NUMBER_OF_SETS says "2" where 1 was expected`},
		{"wrong count", "NUMBER_OF_FIELDS 3\n" + head + "BEGIN_DATA\n1 1\nEND_DATA\n", `lamp.txt:1:18: NUMBER_OF_FIELDS says "3" where 2 was expected`},
		{"a missing value", head + "BEGIN_DATA\n1\nEND_DATA\n", "lamp.txt:6:1: one set of 2 values was expected, one for each field; found 1 values"},
		{"two tables", head + "BEGIN_DATA\n1 1\nEND_DATA\n" + head, "lamp.txt:7:1: a second table begins here; one spectrum was expected"},
		{"no wavelengths", "BEGIN_DATA_FORMAT\nXYZ_X XYZ_Y\nEND_DATA_FORMAT\nBEGIN_DATA\n1 1\nEND_DATA\n", "lamp.txt:2:1: no field names a wavelength; names as in SPEC_380 or SPECTRAL_NM_380 were expected"},
		{"a word in the data", head + "BEGIN_DATA\n1 much\nEND_DATA\n", `lamp.txt:5:3: a number was expected, found "much"`},
		{"norm of 0", "SPECTRAL_NORM 0\n" + head + "BEGIN_DATA\n1 1\nEND_DATA\n", "lamp.txt:1:15: SPECTRAL_NORM 0 is not above 0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := colour.ReadSpectrum(spectrumFile(c.text))
			refused(t, "power", err, c.want)
			_, err = colour.ReadTransmittance(spectrumFile(c.text))
			refused(t, "transmittance", err, c.want)
		})
	}
	if _, err := colour.ReadSpectrum(spectrumFile("400,0\n700,0\n")); err == nil || !strings.Contains(err.Error(), "no visible light") {
		t.Errorf("a dark lamp: %v", err)
	}
	for text, want := range map[string]string{
		"nm,T\n400,10\n700,90\n":               "lamp.txt:2:5: the value at 400 nm is 10; transmittances of 0 to 1 were expected; if the values are per cent, say so with % in a line of headings",
		"nm,%\n400,10\n700,102\n":              "lamp.txt:3:5: the value at 700 nm is 1.02; transmittances of 0 to 1 were expected",
		"nm,optical density\n400,1\n700,0.3\n": `lamp.txt:1:1: the heading says "nm,optical density" where transmittance was expected`,
		head + "BEGIN_DATA\n20 90\nEND_DATA\n": "lamp.txt:5:1: the value at 400 nm is 20; transmittances of 0 to 1 were expected; if the values are per cent, say so with SPECTRAL_NORM 100",
		"nm;T\n400;0,5\n550;0,4\n700;-0,5\n":   "lamp.txt:4:5: the value at 700 nm is -0.5; transmittances of 0 to 1 were expected",
	} {
		_, err := colour.ReadTransmittance(spectrumFile(text))
		refused(t, text, err, want)
	}
}

func refused(t *testing.T, what string, err error, want string) {
	t.Helper()
	var placed source.Error
	if !errors.As(err, &placed) || !strings.Contains(err.Error(), want) {
		t.Errorf("%s: %v\nwant %s", what, err, want)
	}
}

// A measured lamp keeps its colour, whatever the unit of its power and the step.
func TestSpectrumFileKeepsColour(t *testing.T) {
	lamp := illuminant(t, "LED-B3")
	x, y := lamp.XYZ().Chromaticity()
	rapid.Check(t, func(t *rapid.T) {
		k := math.Pow(10, rapid.Float64Range(-300, 300).Draw(t, "power"))
		separator := rapid.SampledFrom([]string{",", ";", "\t", " "}).Draw(t, "separator")
		var b strings.Builder
		for i, v := range lamp {
			fmt.Fprintf(&b, "%g%s%g\n", colour.Wavelength(i), separator, v*k)
			if i+1 < len(lamp) && rapid.Bool().Draw(t, "between") { // a point on the line adds nothing
				fmt.Fprintf(&b, "%g%s%g\n", colour.Wavelength(i)+2.5, separator, (v*k+lamp[i+1]*k)/2)
			}
		}
		s, err := colour.ReadSpectrum(spectrumFile(b.String()))
		if err != nil {
			t.Fatal(err)
		}
		gx, gy := s.XYZ().Chromaticity()
		if math.Abs(gx-x) > 1e-9 || math.Abs(gy-y) > 1e-9 {
			t.Fatalf("x, y %g, %g, want %g, %g", gx, gy, x, y)
		}
	})
}

func spectrumSeeds(f *testing.F) {
	for _, text := range []string{
		"nm,value\n400,0\n550,0.5\n700,1\n", "400;0,1\n700;1,0", "\"400\",\"0,5\"\n\"700\",1", "T %\n400\t5\n700\t90\n", "# x\n\"\n400 1\n700 1",
		"SPECTRAL_NORM 100\nNUMBER_OF_FIELDS 3\nBEGIN_DATA_FORMAT\nID SPEC_400 NM_700.5\nEND_DATA_FORMAT\nNUMBER_OF_SETS 1\nBEGIN_DATA\n\"a b\" 1 2\nEND_DATA\n",
	} {
		f.Add([]byte(text))
	}
}

// Whatever is in a file, the answer is a placed error or a light that can be used.
func FuzzReadSpectrum(f *testing.F) {
	spectrumSeeds(f)
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := colour.ReadSpectrum(&source.File{Name: "f", Text: text})
		if err != nil {
			usable(t, err, len(text))
			return
		}
		peak := 0.0
		for _, v := range s {
			if !(v >= 0 && v <= 1) {
				t.Fatalf("power %g", v)
			}
			peak = max(peak, v)
		}
		if y := s.XYZ().Y; peak != 1 || !(y > 1e-6) {
			t.Fatalf("peak %g, Y %g", peak, y)
		}
	})
}

func FuzzReadTransmittance(f *testing.F) {
	spectrumSeeds(f)
	f.Fuzz(func(t *testing.T, text []byte) {
		g, err := colour.ReadTransmittance(&source.File{Name: "f", Text: text})
		if err != nil {
			usable(t, err, len(text))
			return
		}
		for i, v := range g.T {
			if !(v >= 0 && v <= 1) || v != g.At(colour.Wavelength(i)) {
				t.Fatalf("transmittance %g at sample %d", v, i)
			}
		}
	})
}

func usable(t *testing.T, err error, size int) {
	var e source.Error
	if !errors.As(err, &e) || e.Msg == "" || e.At.File == nil || e.At.Line > size+1 {
		t.Fatalf("%#v", err)
	}
}
