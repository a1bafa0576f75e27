package source

import (
	"encoding"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"sync"

	"gopkg.in/yaml.v3"
)

// A NodeDecoder reads itself from a node. A faulty value gives an Error or Errors, which
// pass through, or any other error, which is placed at the node.
type NodeDecoder interface {
	DecodeNode(Node) error
}

// Decode reads the one document of f into *dst, strictly: a key that dst does not have,
// a key written twice, a value of the wrong shape or out of bounds is an Error with its
// place. It goes on after a fault and returns all of them as Errors; dst then holds
// whatever could be read and is not to be used.
//
// Struct fields are named by their tag, `yaml:"key,omitempty,required"`, or else by the
// field's name in small letters; "-" leaves a field out; ",inline", or embedding without
// a tag, takes the fields of an inner struct as its own. An embedded Places is filled.
// A type reads itself if it has DecodeNode, or, from a single value, UnmarshalText.
// A field of type Node keeps its value unread. An empty value is an error save for
// pointers, where it is nil, and for types that decode themselves.
func Decode(f *File, dst any) error {
	n, faults := parse(f)
	if n.yaml == nil {
		return faults.Err()
	}
	d := decoder{faults: faults}
	d.into(n, dst)
	return d.faults.Err()
}

// Decode reads the value into *dst in the way of the function Decode.
func (n Node) Decode(dst any) error {
	if n.Kind() == Absent {
		return Errors{{Path: n.Path(), Msg: "no value"}}
	}
	var d decoder
	d.into(n, dst)
	return d.faults.Err()
}

type decoder struct{ faults Errors }

func (d *decoder) into(n Node, dst any) {
	v := reflect.ValueOf(dst)
	if v.Kind() != reflect.Pointer || v.IsNil() {
		panic(fmt.Sprintf("source: Decode into %T, which is not a pointer", dst))
	}
	d.value(n, v.Elem())
}

func (d *decoder) fault(n Node, hint, format string, args ...any) {
	e := n.Errorf(format, args...)
	e.Hint = hint
	d.faults.add(e)
}

var (
	nodeType   = reflect.TypeFor[Node]()
	yamlType   = reflect.TypeFor[yaml.Node]()
	placesType = reflect.TypeFor[Places]()
)

// value reads n into v, which can be set.
func (d *decoder) value(n Node, v reflect.Value) {
	if len(d.faults) >= keptErrors {
		return
	}
	switch v.Type() {
	case nodeType:
		v.Set(reflect.ValueOf(n))
		return
	case yamlType:
		v.Set(reflect.ValueOf(*n.target()))
		return
	}
	if v.Kind() == reflect.Pointer {
		d.pointer(n, v)
		return
	}
	switch self := v.Addr().Interface().(type) {
	case NodeDecoder:
		d.failed(n, self.DecodeNode(n))
	case encoding.TextUnmarshaler:
		if d.scalar(n) {
			d.failed(n, self.UnmarshalText([]byte(n.Text())))
		}
	default:
		d.plain(n, v)
	}
}

func (d *decoder) pointer(n Node, v reflect.Value) {
	if n.Kind() == Null {
		v.SetZero()
		return
	}
	p := reflect.New(v.Type().Elem())
	d.value(n, p.Elem())
	v.Set(p)
}

// failed takes over the error of a type that reads itself.
func (d *decoder) failed(n Node, err error) {
	var many Errors
	var one Error
	switch {
	case err == nil:
	case errors.As(err, &many):
		d.faults.add(many...)
	case errors.As(err, &one):
		d.faults.add(one)
	default:
		d.fault(n, "", "%s", err.Error())
	}
}

// scalar reports whether n is a single value, and faults it otherwise.
func (d *decoder) scalar(n Node) bool { return d.shape(n, Scalar, "") }

func (d *decoder) shape(n Node, want Kind, example string) bool {
	switch got := n.Kind(); {
	case got == want:
		return true
	case got == Null:
		d.fault(n, "give one or remove the key", "there is no value here")
	default:
		d.fault(n, example, "this is %s where %s was expected", got, want)
	}
	return false
}

func (d *decoder) plain(n Node, v reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		if d.shape(n, Mapping, "write it as in {key: value}") {
			d.structure(n, v)
		}
	case reflect.Map:
		if d.shape(n, Mapping, "write it as in {key: value}") {
			d.mapping(n, v)
		}
	case reflect.Slice, reflect.Array:
		if d.shape(n, List, "write it as in [a, b]") {
			d.list(n, v)
		}
	case reflect.String:
		if d.scalar(n) {
			v.SetString(n.Text())
		}
	case reflect.Bool:
		if d.scalar(n) {
			d.truth(n, v)
		}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64,
		reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		if d.scalar(n) {
			d.whole(n, v)
		}
	case reflect.Float32, reflect.Float64:
		if d.scalar(n) {
			d.float(n, v)
		}
	default:
		panic(fmt.Sprintf("source: cannot decode into a %s", v.Type()))
	}
}

func (d *decoder) truth(n Node, v reflect.Value) {
	switch strings.ToLower(n.Text()) {
	case "true", "yes", "on":
		v.SetBool(true)
	case "false", "no", "off":
		v.SetBool(false)
	default:
		d.fault(n, "write true or false", "%s is neither true nor false", quote(n.Text()))
	}
}

func (d *decoder) whole(n Node, v reflect.Value) {
	text := n.Text()
	var err error
	if v.CanInt() {
		var i int64
		i, err = strconv.ParseInt(text, 10, v.Type().Bits())
		v.SetInt(i)
	} else {
		var u uint64
		u, err = strconv.ParseUint(text, 10, v.Type().Bits())
		v.SetUint(u)
	}
	switch {
	case errors.Is(err, strconv.ErrRange):
		d.fault(n, "", "%s is too large", quote(text))
	case err != nil && v.CanInt():
		d.fault(n, "", "%s is not a whole number, as in 3", quote(text))
	case err != nil:
		d.fault(n, "", "%s is not a whole number of 0 or more, as in 3", quote(text))
	}
}

func (d *decoder) float(n Node, v reflect.Value) {
	text := n.Text()
	x, err := strconv.ParseFloat(text, v.Type().Bits())
	switch {
	case errors.Is(err, strconv.ErrRange):
		d.fault(n, "", "%s is too large", quote(text))
	case err != nil || math.IsNaN(x) || math.IsInf(x, 0) || strings.ContainsAny(text, "xXpP_"):
		d.fault(n, "", "%s is not a plain number, as in 1.5", quote(text))
	default:
		v.SetFloat(x)
	}
}

func (d *decoder) list(n Node, v reflect.Value) {
	items := n.Items()
	if v.Kind() == reflect.Array {
		if len(items) != v.Len() {
			d.fault(n, "", "the list holds %d values where %d were expected", len(items), v.Len())
			return
		}
	} else {
		v.Set(reflect.MakeSlice(v.Type(), len(items), len(items)))
	}
	for i, item := range items {
		d.value(item, v.Index(i))
	}
}

func (d *decoder) mapping(n Node, v reflect.Value) {
	t := v.Type()
	if t.Key().Kind() != reflect.String {
		panic(fmt.Sprintf("source: cannot decode into a %s", t))
	}
	m := reflect.MakeMap(t)
	for _, p := range n.Pairs() {
		value := reflect.New(t.Elem()).Elem()
		d.value(p.Value, value)
		key := reflect.New(t.Key()).Elem()
		if self, ok := key.Addr().Interface().(encoding.TextUnmarshaler); ok {
			if err := self.UnmarshalText([]byte(p.Key)); err != nil {
				e := p.Value.Errorf("%s", err.Error())
				e.At = p.At
				d.faults.add(e)
				continue
			}
		} else {
			key.SetString(p.Key)
		}
		m.SetMapIndex(key, value)
	}
	v.Set(m)
}

func (d *decoder) structure(n Node, v reflect.Value) {
	shape := shapeOf(v.Type())
	for _, index := range shape.places {
		v.FieldByIndex(index).Addr().Interface().(*Places).Mark(n)
	}
	written := map[string]bool{}
	for _, p := range n.Pairs() {
		f, ok := shape.find(p.Key)
		if !ok {
			e := p.Value.Errorf("unknown key")
			e.At, e.Hint = p.At, DidYouMean(p.Key, shape.names())
			d.faults.add(e)
			continue
		}
		if written[p.Key] { // reported when the file was inspected
			continue
		}
		written[p.Key] = true
		d.value(p.Value, v.FieldByIndex(f.index))
	}
	for _, f := range shape.fields {
		if f.required && !written[f.name] {
			d.fault(n, "", "the key %q is missing", f.name)
		}
	}
}

// Mark fills p from a mapping: where it begins and where the value of each key stands.
// Decode does so for an embedded Places; a type that decodes itself calls Mark.
func (p *Places) Mark(n Node) {
	p.self, p.keys = n.Place(), map[string]Place{}
	for _, pair := range n.Pairs() {
		if _, twice := p.keys[pair.Key]; !twice {
			p.keys[pair.Key] = pair.Value.Place()
		}
	}
}

// A structShape is what a struct type looks like in a file.
type structShape struct {
	fields []field
	byName map[string]int
	places [][]int // embedded Places
}

type field struct {
	name                      string
	index                     []int
	omitEmpty, required, flow bool
}

func (s *structShape) find(name string) (field, bool) {
	i, ok := s.byName[name]
	if !ok {
		return field{}, false
	}
	return s.fields[i], true
}

func (s *structShape) names() []string {
	names := make([]string, len(s.fields))
	for i, f := range s.fields {
		names[i] = f.name
	}
	return names
}

var shapes sync.Map // reflect.Type to *structShape

func shapeOf(t reflect.Type) *structShape {
	if s, ok := shapes.Load(t); ok {
		return s.(*structShape)
	}
	s := &structShape{byName: map[string]int{}}
	s.collect(t, t, nil)
	shapes.Store(t, s)
	return s
}

// collect adds the fields of t, which is root or inlined into it. A wrong tag is our own
// mistake and panics at first use.
func (s *structShape) collect(root, t reflect.Type, at []int) {
	for i := range t.NumField() {
		sf := t.Field(i)
		index := append(append([]int(nil), at...), i)
		if sf.Type == placesType && sf.Anonymous {
			s.places = append(s.places, index)
			continue
		}
		tag, tagged := sf.Tag.Lookup("yaml")
		name, options, _ := strings.Cut(tag, ",")
		if name == "-" || !sf.IsExported() && !(sf.Anonymous && sf.Type.Kind() == reflect.Struct) {
			continue
		}
		f := field{name: name, index: index}
		inline := sf.Anonymous && !tagged && sf.Type.Kind() == reflect.Struct
		for _, option := range strings.Split(options, ",") {
			switch option {
			case "":
			case "omitempty":
				f.omitEmpty = true
			case "required":
				f.required = true
			case "flow":
				f.flow = true
			case "inline":
				inline = true
			default:
				panic(fmt.Sprintf("source: unknown option %q in the tag of %s.%s", option, t, sf.Name))
			}
		}
		if inline {
			if sf.Type.Kind() != reflect.Struct {
				panic(fmt.Sprintf("source: %s.%s is inline but not a struct", t, sf.Name))
			}
			s.collect(root, sf.Type, index)
			continue
		}
		if f.name == "" {
			f.name = strings.ToLower(sf.Name)
		}
		if _, twice := s.byName[f.name]; twice {
			panic(fmt.Sprintf("source: the key %q stands twice in %s", f.name, root))
		}
		s.byName[f.name] = len(s.fields)
		s.fields = append(s.fields, f)
	}
}
