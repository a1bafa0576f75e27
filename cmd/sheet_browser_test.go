package cmd_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"falloff/cmd/internal/cli"
)

// browser finds Debian's chromium, or skips the test.
func browser(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Skip("no browser: install chromium to look at the pages")
	return ""
}

// run runs one command line in this process and wants its exit code.
func run(t *testing.T, exit int, args ...string) {
	t.Helper()
	var out, errs bytes.Buffer
	if code := cli.Run(context.Background(), args, strings.NewReader(""), &out, &errs, func(string) string { return "" }); code != exit {
		t.Fatalf("falloff %s: exit code %d, want %d\n%s", strings.Join(args, " "), code, exit, errs.String())
	}
}

// looked is what a browser reports of one page.
type looked struct {
	Page     string
	Wide     int                   // width of the window
	Overflow float64               // how far the page is wider than that
	Cut      []string              // texts that reach out of their drawing or the window
	Touching []string              // texts of a drawing that lie on each other
	Small    []string              // texts under 8 px
	Errors   []string              // what was reported as an error
	Places   map[string][2]float64 // of each light on the plan, metres right of and below the mark
}

// probe runs inside a page and tells the outer page what it found.
const probe = `<script>
(function(){
var errors=[];window.addEventListener('error',function(e){errors.push(String(e.message||e.target.src||e.target.href))},true);
window.addEventListener('load',function(){
var out={Page:location.pathname.split('/').slice(-2).join('/'),Wide:innerWidth,Overflow:document.documentElement.scrollWidth-innerWidth,Cut:[],Touching:[],Small:[],Errors:errors,Places:{}};
document.querySelectorAll('body *').forEach(function(e){if(e.closest('svg')||e.closest('thead')&&getComputedStyle(e.closest('thead')).position=='absolute')return;var r=e.getBoundingClientRect();
 if(r.width&&r.right>innerWidth+1&&!e.children.length)out.Cut.push(e.textContent.slice(0,40))});
document.querySelectorAll('svg').forEach(function(svg){
 var box=svg.getBoundingClientRect(),name=svg.getAttribute('aria-labelledby').split('-title')[0],texts=[];
 svg.querySelectorAll('text').forEach(function(x){var r=x.getBoundingClientRect();
  if(r.left<box.left-1||r.right>box.right+1||r.top<box.top-1||r.bottom>box.bottom+1)out.Cut.push(name+': '+x.textContent);
  if(parseFloat(getComputedStyle(x).fontSize)*box.width/svg.viewBox.baseVal.width<8)out.Small.push(name+': '+x.textContent);
  texts.forEach(function(o){var w=Math.min(r.right,o.r.right)-Math.max(r.left,o.r.left),h=Math.min(r.bottom,o.r.bottom)-Math.max(r.top,o.r.top);
   if(w>1&&h>0.35*Math.min(r.height,o.r.height))out.Touching.push(name+': '+o.t+' / '+x.textContent)});
  texts.push({r:r,t:x.textContent})})});
var plan=document.querySelector('[id$="plan-figure"] svg');
if(plan){var mid=function(e){var r=e.getBoundingClientRect();return [(r.left+r.right)/2,(r.top+r.bottom)/2]};
 var bar=plan.querySelector('[data-part=scale]'),per=bar.getBoundingClientRect().width/bar.getAttribute('data-metres');
 var m=mid(plan.querySelector('[data-part=mark]'));
 plan.querySelectorAll('[data-role]').forEach(function(g){var c=g.querySelector('[data-part=centre]');if(c){var q=mid(c);
  out.Places[g.getAttribute('data-role')]=[(q[0]-m[0])/per,(q[1]-m[1])/per]}})}
parent.postMessage(JSON.stringify(out),'*')})})();
</script>`

// outer shows every page at every width and gathers what the probes tell.
func outer(pages []string, widths []int) string {
	var frames strings.Builder
	for _, p := range pages {
		for _, w := range widths {
			fmt.Fprintf(&frames, `<iframe src="%s" style="border:0;width:%dpx;height:2000px"></iframe>`, html.EscapeString(p), w)
		}
	}
	return fmt.Sprintf(`<!DOCTYPE html><meta charset="utf-8"><body><pre id="got"></pre><script>
var got=[];addEventListener('message',function(e){got.push(JSON.parse(e.data));document.getElementById('got').textContent=JSON.stringify(got)});
</script>%s</body>`, frames.String())
}

var report = regexp.MustCompile(`(?s)<pre id="got">(.*?)</pre>`)

// In a real browser no page of the examples, on a phone or on a desk, is wider than its
// window, has texts that are cut off or lie on each other, or reports an error; and the
// lights stand on the screen where the set-up has them.
func TestPagesInABrowser(t *testing.T) {
	t.Parallel()
	chromium := browser(t)
	dir := t.TempDir()
	plans := map[string]answer{}
	for _, x := range all {
		run(t, x.exit, "plan", x.brief, "--studio", x.studio, "--sheet", filepath.Join(dir, x.brief), "--count", "2")
		if x.exit == 0 {
			plans[x.brief] = answered(t, 0, "plan", x.brief, "--studio", x.studio, "--count", "2")
		}
	}
	run(t, 0, "plan", "classic", "--units", "imperial", "--count", "1", "--sheet", filepath.Join(dir, "imperial"))
	var pages []string
	err := filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".html") {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		pages = append(pages, "file://"+path)
		return os.WriteFile(path, bytes.Replace(text, []byte("<head>"), []byte("<head>"+probe), 1), 0o666)
	})
	if err != nil {
		t.Fatal(err)
	}
	widths := []int{360, 1280}
	shell := filepath.Join(dir, "outer.htm")
	if err := os.WriteFile(shell, []byte(outer(pages, widths)), 0o666); err != nil {
		t.Fatal(err)
	}
	var all []looked
	got := report.FindSubmatch(dump(t, chromium, shell))
	if got == nil || json.Unmarshal([]byte(html.UnescapeString(string(got[1]))), &all) != nil {
		t.Fatal("the browser tells nothing")
	}
	if want := len(pages) * len(widths); len(all) != want {
		t.Errorf("%d of %d pages were looked at", len(all), want)
	}
	for _, l := range all {
		l.judge(t, plans)
	}
}

func dump(t *testing.T, chromium, page string) []byte {
	t.Helper()
	ctx, stop := context.WithTimeout(context.Background(), 90*time.Second)
	defer stop()
	var errs bytes.Buffer
	c := exec.CommandContext(ctx, chromium, "--headless", "--no-sandbox", "--disable-gpu", "--allow-file-access-from-files",
		"--enable-logging=stderr", "--user-data-dir="+t.TempDir(), "--virtual-time-budget=20000", "--window-size=1400,2000", "--dump-dom", "file://"+page)
	c.Stderr = &errs
	out, err := c.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, errs.String())
	}
	for _, line := range strings.Split(errs.String(), "\n") {
		if strings.Contains(line, "CONSOLE") {
			t.Errorf("on the console: %s", line)
		}
	}
	return out
}

func (l looked) judge(t *testing.T, plans map[string]answer) {
	t.Helper()
	where := fmt.Sprintf("%s at %d px", l.Page, l.Wide)
	if l.Overflow > 0 {
		t.Errorf("%s: %v px too wide", where, l.Overflow)
	}
	for what, list := range map[string][]string{"cut off": l.Cut, "on each other": l.Touching, "too small": l.Small, "errors": l.Errors} {
		if len(list) > 0 {
			t.Errorf("%s, %s: %q", where, what, list)
		}
	}
	brief, page, _ := strings.Cut(l.Page, "/")
	var n int
	if _, err := fmt.Sscanf(page, "set-up-%d.html", &n); err != nil || plans[brief].Setups == nil {
		return
	}
	for _, x := range plans[brief].Setups[n-1]["lights"].([]any) {
		light := x.(map[string]any)
		at := light["at"].(map[string]any)
		role := light["role"].(string)
		drawn, ok := l.Places[role]
		// A screen shows a pixel of a plan at 12 to 100 px a metre.
		if !ok || math.Hypot(drawn[0]-at["x_m"].(float64), drawn[1]-at["y_m"].(float64)) > 0.03 {
			t.Errorf("%s: the %s is drawn at %v, want %v", where, role, drawn, at)
		}
	}
}
