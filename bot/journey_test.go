package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"woodruff/commands"
	"woodruff/engine"
)

var update = flag.Bool("update", false, "write what is answered now into the journeys and transcripts")

// TestJourneys plays every file of testdata/journeys. A journey reads like a
// short play: who says what, and after each line what the bot answers, behind
// ">". Silence is no line at all. The verbs are
//
//	at 2026-11-24 07:40              the clock on the wall
//	cast joss = Joss Penhale, tech   who is who
//	thread rt1                       what follows is said in that machine's thread; "thread" alone leaves it
//	say joss: rt1 drained clean
//	edit joss: rt1 greased           changes joss's last message
//	delete joss                      deletes it; "delete joss bulk" with many others
//	press joss: take back            a choice of the last answer to joss, or of the morning post
//	wait 40m, wait until 2026-11-25 06:15   posts that come due are said on the way
//	restart                          the program ends and starts again
//	book rt1 3                       the machine's last three lines in the book
//
// A journey starts with an empty book in America/Toronto, or with the shop of
// testdata/messages where it says "shop".
func TestJourneys(t *testing.T) {
	files, err := filepath.Glob("../testdata/journeys/*.txt")
	if err != nil || len(files) < 30 {
		t.Fatalf("%d journeys, want at least 30 (%v)", len(files), err)
	}
	for _, f := range files {
		t.Run(strings.TrimSuffix(filepath.Base(f), ".txt"), func(t *testing.T) { playFile(t, f) })
	}
}

func playFile(t *testing.T, path string) {
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	p := &play{t: t, path: filepath.Join(t.TempDir(), "book.db"), cast: map[string]commands.Speaker{}, last: map[string]said{}}
	defer p.end()
	got := p.act(string(raw))
	if got == string(raw) {
		return
	}
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Errorf("%s goes differently now:\n%s", path, lineDiff(string(raw), got))
}

// said is a message of somebody's, and what it was answered.
type said struct {
	message commands.Said
	answer  commands.Answer
}

// play is one journey under way.
type play struct {
	t        *testing.T
	path     string
	shop     *shop
	now      time.Time
	cast     map[string]commands.Speaker
	last     map[string]said
	post     commands.Answer
	thread   string
	messages int
}

// act plays a script and gives it back with what is answered now.
func (p *play) act(script string) string {
	var out strings.Builder
	for n, line := range strings.Split(strings.TrimSuffix(script, "\n"), "\n") {
		if strings.HasPrefix(line, ">") {
			continue
		}
		out.WriteString(line + "\n")
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		verb, rest, _ := strings.Cut(line, " ")
		do, ok := verbs[verb]
		if !ok {
			p.t.Fatalf("line %d: no verb %q", n+1, verb)
		}
		answered, err := do(p, strings.TrimSpace(rest))
		if err != nil {
			p.t.Fatalf("line %d: %s: %v", n+1, line, err)
		}
		for _, a := range answered {
			out.WriteString(strings.TrimRight("> "+a, " ") + "\n")
		}
	}
	return out.String()
}

var verbs = map[string]func(p *play, rest string) ([]string, error){
	"at":      (*play).at,
	"cast":    (*play).casting,
	"shop":    (*play).bringShop,
	"thread":  func(p *play, rest string) ([]string, error) { p.thread = strings.ToUpper(rest); return nil, nil },
	"say":     (*play).say,
	"edit":    (*play).edit,
	"delete":  (*play).delete,
	"press":   (*play).press,
	"wait":    (*play).wait,
	"restart": func(p *play, _ string) ([]string, error) { p.end(); return nil, nil },
	"book":    (*play).book,
}

func (p *play) open() (*shop, error) {
	if p.shop == nil {
		w := outside{now: func() time.Time { return p.now }}
		s, err := openShop(context.Background(), p.path, demoZone, w)
		if err != nil {
			return nil, err
		}
		p.shop = s
	}
	return p.shop, nil
}

func (p *play) end() {
	if p.shop == nil {
		return
	}
	var err error
	p.shop.close(&err)
	if err != nil {
		p.t.Error(err)
	}
	p.shop = nil
}

func (p *play) at(rest string) ([]string, error) {
	zone, err := time.LoadLocation(demoZone)
	if err != nil {
		return nil, err
	}
	p.now, err = time.ParseInLocation("2006-01-02 15:04", rest, zone)
	return nil, err
}

func (p *play) casting(rest string) ([]string, error) {
	name, who, ok := strings.Cut(rest, " = ")
	full, role, ok2 := strings.Cut(who, ", ")
	if !ok || !ok2 {
		return nil, fmt.Errorf("cast NAME = Full Name, role")
	}
	p.cast[name] = commands.Speaker{Name: full, Role: commands.Role(role)}
	return nil, nil
}

// bringShop imports the shop of the journeys; its log ends on 23 November 2026.
func (p *play) bringShop(string) ([]string, error) {
	s, err := p.open()
	if err != nil {
		return nil, err
	}
	f, err := openFiles("../testdata/messages/machines.csv", "../testdata/messages/log.csv")
	if err != nil {
		return nil, err
	}
	defer f.close()
	out, err := s.bring(context.Background(), f, engine.Instant(p.now.Unix()))
	if err != nil {
		return nil, fmt.Errorf("%w: %v", err, out.Faults)
	}
	// The morning of the first day is over when a journey begins.
	now := engine.Instant(p.now.Unix())
	_, err = s.book.Write(context.Background(), engine.Batch{Posts: []engine.Post{
		{Kind: commands.MorningKind, Day: s.cal.DayAt(now), State: engine.Skipped, At: now},
	}})
	return nil, err
}

// line splits "joss: words" into who and words.
func (p *play) line(rest string) (name string, who commands.Speaker, words string, err error) {
	name, words, _ = strings.Cut(rest, ": ")
	who, ok := p.cast[name]
	if !ok {
		return "", who, "", fmt.Errorf("nobody is cast as %q", name)
	}
	return name, who, strings.ReplaceAll(words, `\n`, "\n"), nil
}

func (p *play) say(rest string) ([]string, error) {
	name, who, words, err := p.line(rest)
	if err != nil {
		return nil, err
	}
	p.messages++
	m := commands.Said{
		Channel: "play", ID: fmt.Sprint("m", p.messages), Place: "yard" + p.thread, By: who,
		At: engine.Instant(p.now.Unix()), Text: words, Thread: p.thread,
	}
	return p.hear(name, m, m)
}

// hear hands something over and keeps it as that person's last.
func (p *play) hear(name string, m commands.Said, in commands.Inbound) ([]string, error) {
	s, err := p.open()
	if err != nil {
		return nil, err
	}
	answer, err := s.desk.Handle(context.Background(), in)
	if err != nil {
		return nil, err
	}
	p.last[name] = said{m, answer}
	p.now = p.now.Add(time.Minute)
	return answer.Terminal(), nil
}

func (p *play) edit(rest string) ([]string, error) {
	name, _, words, err := p.line(rest)
	if err != nil {
		return nil, err
	}
	m := p.last[name].message
	m.Text = words
	return p.hear(name, m, commands.Edited{Said: m, Revision: p.now.Unix()})
}

func (p *play) delete(rest string) ([]string, error) {
	name, bulk, _ := strings.Cut(rest, " ")
	m := p.last[name].message
	return p.hear(name, m, commands.Deleted{Channel: m.Channel, ID: m.ID, Place: m.Place, At: engine.Instant(p.now.Unix()), Bulk: bulk == "bulk"})
}

func (p *play) press(rest string) ([]string, error) {
	name, who, label, err := p.line(rest)
	if err != nil {
		return nil, err
	}
	for _, c := range append(append([]commands.Choice(nil), p.last[name].answer.Choices...), p.post.Choices...) {
		if c.Label == label {
			p.messages++
			m := commands.Said{Channel: "play", ID: fmt.Sprint("p", p.messages), Place: "yard" + p.thread, By: who}
			return p.hear(name, m, commands.Pressed{Channel: m.Channel, ID: m.ID, Place: m.Place, By: who, At: engine.Instant(p.now.Unix()), Button: c.Button})
		}
	}
	return nil, fmt.Errorf("nothing to press says %q", label)
}

var headInPost = regexp.MustCompile(`, book \d+:[0-9a-f]{12}$`)

// wait lets time go by; what the bot says on its own is said on the way.
func (p *play) wait(rest string) ([]string, error) {
	end := p.now
	if until, ok := strings.CutPrefix(rest, "until "); ok {
		was := p.now
		if _, err := p.at(until); err != nil {
			return nil, err
		}
		end, p.now = p.now, was
	} else {
		d, err := time.ParseDuration(rest)
		if err != nil {
			return nil, err
		}
		end = p.now.Add(d)
	}
	s, err := p.open()
	if err != nil {
		return nil, err
	}
	shed, err := s.book.Shed(context.Background())
	if err != nil {
		return nil, err
	}
	hours := commands.HoursOf(shed.Settings)
	var lines []string
	for !p.now.After(end) {
		now := engine.Instant(p.now.Unix())
		answer, post, ok, err := s.desk.Due(context.Background(), now)
		if err != nil {
			return nil, err
		}
		if ok {
			p.post = answer
			lines = append(lines, answer.Lines...)
			if first := len(lines) - len(answer.Lines); headInPost.MatchString(lines[first]) {
				lines[first] = headInPost.ReplaceAllString(lines[first], "") // its salts make every book's head its own
			}
			if err := s.desk.Sent(context.Background(), post, now); err != nil {
				return nil, err
			}
		}
		p.now = time.Unix(int64(hours.Next(now, s.cal)), 0)
	}
	p.now = end
	return lines, nil
}

// book shows the last lines of a machine as they stand in the book.
func (p *play) book(rest string) ([]string, error) {
	tag, n := rest, 1
	if _, err := fmt.Sscanf(rest, "%s %d", &tag, &n); err != nil {
		return nil, err
	}
	s, err := p.open()
	if err != nil {
		return nil, err
	}
	m, err := s.ever(context.Background(), tag)
	if err != nil {
		return nil, err
	}
	var out strings.Builder
	if err := s.desk.WriteLog(context.Background(), &out, engine.Instant(p.now.Unix()), m.ID, false); err != nil {
		return nil, err
	}
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	lines = lines[max(0, len(lines)-n):]
	for i, l := range lines { // the number of an entry says nothing to a reader
		_, lines[i], _ = strings.Cut(l, "  ")
	}
	return lines, nil
}

// lineDiff shows where two texts part.
func lineDiff(want, got string) string {
	a, b := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return fmt.Sprintf("line %d\n  want %s\n  got  %s", i+1, a[i], b[i])
		}
	}
	return "one ends before the other"
}
