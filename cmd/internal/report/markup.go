package report

import (
	"html"
	"strings"
)

// markup writes HTML that is well-formed XML too: every element is closed and every text
// escaped. Attributes are given as name and value in turn; those without a value are left
// out.
type markup struct {
	text strings.Builder
	open []string
}

func (m *markup) start(name string, attrs ...string) {
	m.text.WriteString("<" + name)
	for i := 0; i+1 < len(attrs); i += 2 {
		if attrs[i+1] != "" {
			m.text.WriteString(" " + attrs[i] + `="` + html.EscapeString(attrs[i+1]) + `"`)
		}
	}
}

// in writes an element and, inside it, what body writes.
func (m *markup) in(name string, body func(), attrs ...string) {
	m.start(name, attrs...)
	m.text.WriteString(">")
	if blockElements[name] {
		m.text.WriteString("\n")
	}
	body()
	m.text.WriteString("</" + name + ">\n")
}

var blockElements = map[string]bool{"html": true, "head": true, "body": true, "main": true, "section": true, "header": true, "footer": true,
	"div": true, "table": true, "thead": true, "tbody": true, "tr": true, "ol": true, "ul": true, "dl": true, "figure": true, "nav": true}

// one writes an element that holds a text.
func (m *markup) one(name, text string, attrs ...string) {
	m.start(name, attrs...)
	m.text.WriteString(">" + html.EscapeString(strings.TrimSpace(text)) + "</" + name + ">\n")
}

// void writes an element that holds nothing.
func (m *markup) void(name string, attrs ...string) {
	m.start(name, attrs...)
	m.text.WriteString("/>\n")
}

// raw writes what is markup already.
func (m *markup) raw(s string) { m.text.WriteString(s) }

// pair is a line of a list of terms.
func (m *markup) pair(term, text string) {
	if text == "" {
		return
	}
	m.in("div", func() {
		m.one("dt", term)
		m.one("dd", text)
	})
}

// list writes texts as the points of a list.
func (m *markup) list(items []string, attrs ...string) {
	m.in("ul", func() {
		for _, s := range items {
			m.one("li", s)
		}
	}, attrs...)
}

// table writes rows under a head. Each cell carries the head's word, which a narrow screen
// shows beside it.
func (m *markup) table(class string, head []string, rows [][]string) {
	m.in("table", func() {
		m.in("thead", func() {
			m.in("tr", func() {
				for _, h := range head {
					m.one("th", h, "scope", "col")
				}
			})
		})
		m.in("tbody", func() {
			for _, r := range rows {
				m.in("tr", func() {
					for i, c := range r {
						m.one("td", c, "data-head", head[i])
					}
				})
			}
		})
	}, "class", class)
}

// document writes a whole page.
func (m *markup) document(title string, body func()) {
	m.text.WriteString("<!DOCTYPE html>\n")
	m.in("html", func() {
		m.in("head", func() {
			m.void("meta", "charset", "utf-8")
			m.void("meta", "name", "viewport", "content", "width=device-width, initial-scale=1")
			m.void("meta", "name", "color-scheme", "content", "light dark")
			m.one("title", title)
			m.raw("<style>" + pageStyle() + "</style>\n")
		})
		m.in("body", func() { m.in("main", body) })
	}, "lang", "en", "xmlns", "http://www.w3.org/1999/xhtml")
}
