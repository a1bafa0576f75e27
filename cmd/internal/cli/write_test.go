package cli

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"falloff/inventory"
	"falloff/model/unit"
	"falloff/solver"
)

func written() []*solver.Checked {
	return []*solver.Checked{{Setup: &inventory.Setup{
		Name:     "Poster 1",
		Camera:   inventory.CameraSet{Body: "body", Lens: "lens-85", Aperture: 2, Shutter: 1. / 160, ISO: 100, Frame: 0.6, Height: 1.22},
		Backdrop: inventory.BackdropSet{Item: "black-paper", Distance: 2.4},
		Lights: []inventory.LightSet{{Role: "key", Head: "led-60", Light: "lamp", Modifier: "box-60x90", Stand: "stand-medium",
			Distance: 1.2, Azimuth: 35 * unit.Degree, Elevation: 25 * unit.Degree, Power: -0.7}},
	}}}
}

// A set-up file gives back every value exactly, so that check finds the same margins.
func TestWrittenSetupReadsBack(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "folder")
	a := &app{stderr: new(bytes.Buffer)}
	if err := a.writeSetups(dir, "rim-and-glow", written()); err != nil {
		t.Fatal(err)
	}
	got, err := inventory.LoadSetup(filepath.Join(dir, "set-up-1.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	want := written()[0].Setup
	if got.Studio != builtinStudio || got.Brief != "rim-and-glow" {
		t.Errorf("made for %q and %q", got.Studio, got.Brief)
	}
	w := want.Lights[0]
	g := got.Lights[0]
	g.Places = w.Places
	if !reflect.DeepEqual(g, w) {
		t.Errorf("light %+v, want %+v", g, w)
	}
	c := got.Camera
	c.Places = want.Camera.Places
	if !reflect.DeepEqual(c, want.Camera) {
		t.Errorf("camera %+v, want %+v", c, want.Camera)
	}
}

// The files of a user are named as seen from the folder of the set-up, so that the whole
// can be moved.
func TestReferences(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	if err := os.WriteFile("poster.yaml", []byte("brief: x"), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir("setups", 0o777); err != nil {
		t.Fatal(err)
	}
	if got := reference("poster.yaml", builtinBrief, "setups"); got != "../poster.yaml" {
		t.Errorf("reference %q", got)
	}
	if got := referred("../poster.yaml", "setups"); got != "poster.yaml" {
		t.Errorf("referred %q", got)
	}
	if got := referred("northlight", "setups"); got != "northlight" {
		t.Errorf("built in: %q", got)
	}
}

// A target that may not be written is left as it was, with nothing beside it.
func TestReadOnlyTargetIsKept(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "set-up-1.yaml")
	if err := os.WriteFile(name, []byte("old\n"), 0o444); err != nil {
		t.Fatal(err)
	}
	a := &app{stderr: new(bytes.Buffer)}
	err := a.writeSetups(dir, "rim-and-glow", written())
	var bad badInput
	if !errors.As(err, &bad) {
		t.Fatalf("error %v", err)
	}
	if want := "cannot write " + name + ": it is read-only; a file that was there is as it was"; err.Error() != want {
		t.Errorf("got %q, want %q", err, want)
	}
	if text, _ := os.ReadFile(name); string(text) != "old\n" {
		t.Errorf("the file now holds %q", text)
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 1 {
		t.Errorf("left behind: %v", entries)
	}
}
