// Package visitor is somebody who uses Halfhour over plain HTTP, with cookies and
// forms but without a browser: quick enough for a hundred people, and able to
// send what no browser would.
package visitor

import (
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/andybalholm/cascadia"
	"golang.org/x/net/html"
)

// Visitor keeps the cookies of one person.
type Visitor struct {
	t      testing.TB
	at     string
	client *http.Client
}

// New is a visitor whom nobody knows yet, at an address such as http://127.0.0.1:8080.
func New(t testing.TB, address string) *Visitor {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &Visitor{t: t, at: address, client: &http.Client{Jar: jar, Timeout: 30 * time.Second}}
}

// Page is what came back, redirects followed.
type Page struct {
	Status int
	Header http.Header
	Path   string // where it is, with its query
	Body   string

	visitor *Visitor
	doc     *html.Node
}

// Get opens a path or a whole address.
func (v *Visitor) Get(where string) *Page {
	v.t.Helper()
	page, err := v.Try(where)
	if err != nil {
		v.t.Fatal(err)
	}
	return page
}

// Try is Get where no answer is no surprise.
func (v *Visitor) Try(where string) (*Page, error) {
	request, err := http.NewRequestWithContext(v.t.Context(), http.MethodGet, v.address(where), nil)
	if err != nil {
		return nil, err
	}
	return v.Do(request)
}

// Post sends a form's values.
func (v *Visitor) Post(where string, values url.Values) (*Page, error) {
	request, err := http.NewRequestWithContext(v.t.Context(), http.MethodPost, v.address(where), strings.NewReader(values.Encode()))
	if err != nil {
		return nil, err
	}
	request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return v.Do(request)
}

// Do sends any request with the visitor's cookies.
func (v *Visitor) Do(request *http.Request) (*Page, error) {
	response, err := v.client.Do(request)
	if err != nil {
		return nil, err
	}
	defer response.Body.Close()
	body, err := io.ReadAll(response.Body)
	if err != nil {
		return nil, err
	}
	doc, err := html.Parse(strings.NewReader(string(body)))
	if err != nil {
		return nil, err
	}
	return &Page{
		Status: response.StatusCode, Header: response.Header, Path: response.Request.URL.RequestURI(),
		Body: string(body), visitor: v, doc: doc,
	}, nil
}

// address is the whole address of a path.
func (v *Visitor) address(where string) string {
	if strings.HasPrefix(where, "/") {
		return v.at + where
	}
	return where
}

// Blunt is the same person who takes the first answer as it is: it is led nowhere,
// so that a redirect is seen.
func (v *Visitor) Blunt() *Visitor {
	client := *v.client
	client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return &Visitor{t: v.t, at: v.at, client: &client}
}

// Twin is another device of the same person: the same cookies, connections of
// its own.
func (v *Visitor) Twin() *Visitor {
	return &Visitor{t: v.t, at: v.at, client: &http.Client{Jar: v.client.Jar, Timeout: v.client.Timeout, Transport: http.DefaultTransport.(*http.Transport).Clone()}}
}

// Cookie is what the visitor's browser would send in its Cookie header.
func (v *Visitor) Cookie() string {
	v.t.Helper()
	at, err := url.Parse(v.at)
	if err != nil {
		v.t.Fatal(err)
	}
	var all []string
	for _, c := range v.client.Jar.Cookies(at) {
		all = append(all, c.Name+"="+c.Value)
	}
	return strings.Join(all, "; ")
}

// All are the elements of a selector.
func (p *Page) All(selector string) []*html.Node {
	return cascadia.QueryAll(p.doc, cascadia.MustCompile(selector))
}

// Text is all text of the elements of a selector, with single spaces.
func (p *Page) Text(selector string) string {
	var b strings.Builder
	for _, n := range p.All(selector) {
		spell(&b, n)
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func spell(b *strings.Builder, n *html.Node) {
	if n.Type == html.TextNode {
		b.WriteString(n.Data + " ")
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		spell(b, c)
	}
}

// Attr is an attribute of the first element of the selector; empty where there is
// none.
func (p *Page) Attr(selector, name string) string {
	for _, n := range p.All(selector) {
		return attr(n, name)
	}
	return ""
}

// Link is the address of the first link whose words hold these.
func (p *Page) Link(words string) string {
	p.visitor.t.Helper()
	for _, n := range p.All("a[href]") {
		var b strings.Builder
		spell(&b, n)
		if strings.Contains(strings.Join(strings.Fields(b.String()), " "), words) {
			return attr(n, "href")
		}
	}
	p.visitor.t.Fatalf("no link %q on %s", words, p)
	return ""
}

// String says where the page is and what can be read on it, for failures.
func (p *Page) String() string {
	return fmt.Sprintf("%d %s: %s", p.Status, p.Path, p.Text("body"))
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func has(n *html.Node, name string) bool {
	for _, a := range n.Attr {
		if a.Key == name {
			return true
		}
	}
	return false
}
