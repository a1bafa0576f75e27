package source

import (
	"bytes"
	"encoding"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// Encode writes v as YAML that Decode reads back to the same value: fields in the order
// of the struct, map keys sorted, two spaces of indentation. The tags are those of
// Decode; "omitempty" leaves out zero values, "flow" writes {a: 1} on one line. A nil
// pointer is left out of a struct. Types print through MarshalYAML or MarshalText.
// An error means that v holds something a file cannot, such as NaN.
func Encode(v any) ([]byte, error) {
	n, err := encode(reflect.ValueOf(v), false)
	if err != nil {
		return nil, fmt.Errorf("cannot write: %w", err)
	}
	var b bytes.Buffer
	enc := yaml.NewEncoder(&b)
	enc.SetIndent(2)
	if err := enc.Encode(n); err != nil {
		return nil, fmt.Errorf("cannot write: %w", err)
	}
	if err := enc.Close(); err != nil {
		return nil, fmt.Errorf("cannot write: %w", err)
	}
	return b.Bytes(), nil
}

// deepest bounds a value that points back to itself.
const deepest = maxDepth

func encode(v reflect.Value, flow bool) (*yaml.Node, error) { return encodeAt(v, flow, 0) }

func encodeAt(v reflect.Value, flow bool, depth int) (*yaml.Node, error) {
	if depth > deepest {
		return nil, fmt.Errorf("the nesting is deeper than %d levels", deepest)
	}
	if !v.IsValid() || (v.Kind() == reflect.Pointer || v.Kind() == reflect.Interface) && v.IsNil() {
		return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!null", Value: "null"}, nil
	}
	if n, ok, err := encodeItself(v, flow, depth); ok || err != nil {
		return n, err
	}
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		return encodeAt(v.Elem(), flow, depth+1)
	case reflect.Struct:
		return encodeStruct(v, flow, depth)
	case reflect.Map:
		return encodeMap(v, flow, depth)
	case reflect.Slice, reflect.Array:
		n := &yaml.Node{Kind: yaml.SequenceNode, Tag: "!!seq", Style: style(flow || v.Len() == 0)}
		for i := range v.Len() {
			item, err := encodeAt(v.Index(i), flow, depth+1)
			if err != nil {
				return nil, fmt.Errorf("[%d]: %w", i, err)
			}
			n.Content = append(n.Content, item)
		}
		return n, nil
	case reflect.String:
		return encodeText(v.String())
	case reflect.Bool:
		return plainNode(strconv.FormatBool(v.Bool())), nil
	case reflect.Float32, reflect.Float64:
		x := v.Float()
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return nil, fmt.Errorf("%v is not a number that a file can hold", x)
		}
		return plainNode(strconv.FormatFloat(x, 'g', -1, v.Type().Bits())), nil
	}
	switch {
	case v.CanInt():
		return plainNode(strconv.FormatInt(v.Int(), 10)), nil
	case v.CanUint():
		return plainNode(strconv.FormatUint(v.Uint(), 10)), nil
	}
	return nil, fmt.Errorf("a %s has no form in a file", v.Type())
}

// encodeItself serves the types that print themselves.
func encodeItself(v reflect.Value, flow bool, depth int) (n *yaml.Node, ok bool, err error) {
	if !v.CanInterface() {
		return nil, false, nil
	}
	self := v.Interface()
	if v.CanAddr() && v.Kind() != reflect.Pointer { // pointer receivers count too
		self = v.Addr().Interface()
	}
	switch x := self.(type) {
	case Node:
		return copyOf(x.yaml), true, nil
	case *Node:
		return copyOf(x.yaml), true, nil
	case yaml.Node:
		return copyOf(&x), true, nil
	case *yaml.Node:
		return copyOf(x), true, nil
	case yaml.Marshaler:
		other, err := x.MarshalYAML()
		if err != nil {
			return nil, false, err
		}
		n, err := encodeAt(reflect.ValueOf(other), flow, depth+1)
		return n, true, err
	case encoding.TextMarshaler:
		b, err := x.MarshalText()
		if err != nil {
			return nil, false, err
		}
		n, err := encodeText(string(b))
		if err == nil && isNumber(string(b)) { // 25 and not "25"
			n = plainNode(string(b))
		}
		return n, true, err
	}
	return nil, false, nil
}

func encodeStruct(v reflect.Value, flow bool, depth int) (*yaml.Node, error) {
	n := &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map"}
	for _, f := range shapeOf(v.Type()).fields {
		fv := v.FieldByIndex(f.index)
		if f.omitEmpty && isEmpty(fv) || fv.Kind() == reflect.Pointer && fv.IsNil() || fv.Type() == nodeType && fv.Interface().(Node).yaml == nil {
			continue
		}
		value, err := encodeAt(fv, flow || f.flow, depth+1)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.name, err)
		}
		n.Content = append(n.Content, mustText(f.name), value)
	}
	n.Style = style(flow || len(n.Content) == 0)
	return n, nil
}

func encodeMap(v reflect.Value, flow bool, depth int) (*yaml.Node, error) {
	n := &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map", Style: style(flow || v.Len() == 0)}
	if v.Type().Key().Kind() != reflect.String {
		return nil, fmt.Errorf("a %s has no form in a file", v.Type())
	}
	keys := v.MapKeys()
	slices.SortFunc(keys, func(a, b reflect.Value) int { return strings.Compare(a.String(), b.String()) })
	for _, k := range keys {
		key, err := encodeText(k.String())
		if err != nil {
			return nil, err
		}
		value, err := encodeAt(v.MapIndex(k), flow, depth+1)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", k.String(), err)
		}
		n.Content = append(n.Content, key, value)
	}
	return n, nil
}

// encodeText quotes where plain text would be taken for something else. The library
// knows when; it is helped where its block style would not give the text back.
func encodeText(s string) (*yaml.Node, error) {
	if !utf8.ValidString(s) {
		return nil, fmt.Errorf("%s is not UTF-8 text", quote(s))
	}
	n := new(yaml.Node)
	n.SetString(s)
	if s == "<<" || strings.ContainsFunc(s, func(r rune) bool { return !unicode.IsPrint(r) }) {
		n.Style = yaml.DoubleQuotedStyle
	}
	return n, nil
}

func mustText(s string) *yaml.Node {
	n, err := encodeText(s)
	if err != nil {
		panic(err) // a key in a tag of ours
	}
	return n
}

func plainNode(s string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Value: s} }

func isNumber(s string) bool {
	_, err := strconv.ParseFloat(s, 64)
	return err == nil && strings.Trim(s, "0123456789+-.eE") == ""
}

func style(flow bool) yaml.Style {
	if flow {
		return yaml.FlowStyle
	}
	return 0
}

// copyOf is y with its aliases spread out, which inspect has bounded.
func copyOf(y *yaml.Node) *yaml.Node {
	if y == nil || y.Kind == 0 {
		return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!null", Value: "null"}
	}
	if y.Kind == yaml.AliasNode {
		return copyOf(y.Alias)
	}
	c := &yaml.Node{Kind: y.Kind, Tag: y.Tag, Value: y.Value, Style: y.Style}
	for _, child := range y.Content {
		c.Content = append(c.Content, copyOf(child))
	}
	return c
}

// isEmpty is reflect's zero, an empty list or map, or a struct all of whose written
// fields are empty: where it came from does not count.
func isEmpty(v reflect.Value) bool {
	if z, ok := v.Interface().(interface{ IsZero() bool }); ok {
		return z.IsZero()
	}
	switch v.Kind() {
	case reflect.Slice, reflect.Map:
		return v.Len() == 0
	case reflect.Struct:
		if v.Type() == nodeType || v.Type() == yamlType {
			return v.IsZero()
		}
		shape := shapeOf(v.Type())
		if len(shape.fields) == 0 {
			return v.IsZero()
		}
		for _, f := range shape.fields {
			if !isEmpty(v.FieldByIndex(f.index)) {
				return false
			}
		}
		return true
	}
	return v.IsZero()
}
