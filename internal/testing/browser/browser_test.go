package browser

import (
	"fmt"
	"image/png"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestMain(m *testing.M) { os.Exit(Main(m)) }

// site is a small website with what the tests look for.
func site(t *testing.T) string {
	t.Helper()
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, _ *http.Request) {
		fmt.Fprint(w, `<!doctype html><html lang=en><meta name=viewport content="width=device-width"><title>Door</title><main><h1>Door</h1>
			<form method=post action=/in><label>Name <input name=name></label> <button>Come in</button></form>
			<p id=js>no script ran</p><script>document.getElementById('js').textContent = 'a script ran'</script></main></html>`)
	})
	mux.HandleFunc("POST /in", func(w http.ResponseWriter, r *http.Request) {
		http.SetCookie(w, &http.Cookie{Name: "who", Value: r.FormValue("name"), Path: "/"})
		http.Redirect(w, r, "/room?a=1", http.StatusSeeOther)
	})
	mux.HandleFunc("GET /room", func(w http.ResponseWriter, r *http.Request) {
		who, err := r.Cookie("who")
		if err != nil {
			http.Error(w, "who is it?", http.StatusUnauthorized)
			return
		}
		fmt.Fprintf(w, `<!doctype html><html lang=en><title>Room</title><main><h1>Hello   %s</h1></main></html>`, who.Value)
	})
	mux.HandleFunc("GET /bad", func(w http.ResponseWriter, _ *http.Request) {
		fmt.Fprint(w, `<!doctype html><html><meta name=viewport content="width=device-width"><title></title><body><img src=/none.png><div style="width:900px;height:10px"></div>
			<script src="http://elsewhere.example/a.js"></script><script>console.error("oh", 7)</script><script>nowhere()</script></body></html>`)
	})
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	return server.URL
}

func TestATabActsLikeAPerson(t *testing.T) {
	at := site(t)
	for _, screen := range []Screen{Phone, Desk, Phone.WithoutScript(), Desk.InDark()} {
		t.Run(screen.String(), func(t *testing.T) {
			tab := New(t, screen)
			require.EqualValues(t, http.StatusOK, tab.Open(at))
			ran := map[bool]string{true: "no script ran", false: "a script ran"}
			require.Equal(t, ran[screen.NoScript], tab.Text("#js"))
			require.Equal(t, screen.Dark, Eval[bool](tab, "matchMedia('(prefers-color-scheme: dark)').matches"))
			require.Equal(t, screen.Width, Eval[int64](tab, "innerWidth"))
			tab.Fill("[name=name]", "Ines")
			require.EqualValues(t, http.StatusOK, tab.Press("button"))
			require.Equal(t, "/room?a=1", tab.Path())
			require.Equal(t, "Hello Ines", tab.Text("h1"))
			require.Equal(t, "Room", tab.Title())
			require.Equal(t, 1, tab.Count("h1"))
		})
	}
}

func TestEveryTabIsAPersonOfItsOwn(t *testing.T) {
	at := site(t)
	one, other := New(t, Phone), New(t, Phone)
	one.Open(at)
	one.Fill("[name=name]", "Ines")
	one.Press("button")
	require.EqualValues(t, http.StatusOK, one.Open(at+"/room"))
	require.EqualValues(t, http.StatusUnauthorized, other.Open(at+"/room"))
}

func TestFaultsRequestsAndBarriersAreSeen(t *testing.T) {
	tab := New(t, Small)
	at := site(t)
	tab.Open(at + "/bad")
	require.Greater(t, tab.Width(), Small.Width)
	told := fmt.Sprint(tab.Faults())
	for _, part := range []string{"console: oh 7", "nowhere is not defined", "/none.png", "elsewhere.example"} {
		require.Contains(t, told, part)
	}
	var asked []string
	for _, r := range tab.Requests() {
		asked = append(asked, fmt.Sprint(r.Kind, " ", r.Status, " ", r.URL))
		if r.Kind == "Document" {
			require.Greater(t, r.Bytes, int64(200))
		}
	}
	require.Contains(t, asked, "Script 0 http://elsewhere.example/a.js")
	require.Contains(t, asked, "Image 404 "+at+"/none.png")
	var serious []string
	for _, b := range tab.Axe() {
		if b.Serious() {
			serious = append(serious, b.ID)
		}
	}
	require.Subset(t, serious, []string{"document-title", "html-has-lang", "image-alt"})
	tab.Forget()
	require.Empty(t, tab.Faults())
	require.Empty(t, tab.Requests())
}

func TestAPictureIsTheWholePage(t *testing.T) {
	tab := New(t, Screen{Width: 400, Height: 300})
	tab.Open(site(t) + "/bad")
	file := filepath.Join(t.TempDir(), "sub", "page.png")
	tab.Picture(file)
	in, err := os.Open(file)
	require.NoError(t, err)
	defer in.Close()
	size, err := png.DecodeConfig(in)
	require.NoError(t, err)
	require.GreaterOrEqual(t, size.Width, 400)
	require.GreaterOrEqual(t, size.Height, 300)
}
