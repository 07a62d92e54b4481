package visitor

import (
	"net/url"
	"strings"

	"github.com/andybalholm/cascadia"
	"golang.org/x/net/html"
)

// Form is a form of a page as a browser would send it, filled in further.
type Form struct {
	Action string // a path
	Values url.Values

	page *Page
}

// Form finds the form of a selector with everything that is filled in already:
// hidden fields, ticked boxes, chosen options.
func (p *Page) Form(selector string) *Form {
	p.visitor.t.Helper()
	found := p.All(selector)
	if len(found) == 0 {
		p.visitor.t.Fatalf("no form %q on %s", selector, p)
	}
	f := &Form{Action: attr(found[0], "action"), Values: url.Values{}, page: p}
	if f.Action == "" {
		f.Action = p.Path
	}
	for _, n := range cascadia.QueryAll(found[0], cascadia.MustCompile("input[name], select[name], textarea[name]")) {
		f.take(n)
	}
	return f
}

// take adds what a field would send.
func (f *Form) take(n *html.Node) {
	name := attr(n, "name")
	switch n.Data {
	case "textarea":
		var b strings.Builder
		spell(&b, n)
		f.Values.Add(name, strings.TrimSpace(b.String()))
	case "select":
		f.Values.Add(name, chosen(n))
	default:
		switch attr(n, "type") {
		case "radio", "checkbox":
			if has(n, "checked") {
				f.Values.Add(name, attr(n, "value"))
			}
		case "submit", "button", "image", "reset":
		default:
			f.Values.Add(name, attr(n, "value"))
		}
	}
}

// chosen is the value of a select: of the chosen option, else of the first.
func chosen(n *html.Node) string {
	options := cascadia.QueryAll(n, cascadia.MustCompile("option"))
	for _, o := range options {
		if has(o, "selected") {
			return valueOf(o)
		}
	}
	if len(options) > 0 {
		return valueOf(options[0])
	}
	return ""
}

func valueOf(option *html.Node) string {
	if has(option, "value") {
		return attr(option, "value")
	}
	var b strings.Builder
	spell(&b, option)
	return strings.TrimSpace(b.String())
}

// Set fills in fields: names and values in turn.
func (f *Form) Set(pairs ...string) *Form {
	for i := 0; i < len(pairs); i += 2 {
		f.Values.Set(pairs[i], pairs[i+1])
	}
	return f
}

// Send sends the form and gives the page that comes.
func (f *Form) Send() *Page {
	f.page.visitor.t.Helper()
	page, err := f.page.visitor.Post(f.Action, f.Values)
	if err != nil {
		f.page.visitor.t.Fatal(err)
	}
	return page
}
