package store

import (
	"errors"
	"reflect"
	"testing"

	"woodruff/engine"
)

func question(who string, person engine.PersonID, place string) engine.Question {
	return engine.Question{
		Person: person, Who: who, Place: place, Asked: noon, Expires: noon + 1800, Source: edited(reading("q "+who, 2, 1), 4).Source,
		Said: noon - 5, Raw: "14 498.0", Held: []byte{0, 1, 2},
	}
}

func closing(id engine.QuestionID, state engine.QuestionState) engine.Batch {
	return engine.Batch{Close: []engine.Closing{{ID: id, State: state}}}
}

func TestQuestions(t *testing.T) {
	b := newBook(t)
	joss := engine.PersonID(write(t, b, person("Joss Penhale"))[0])
	ask := engine.Batch{Ask: []engine.Question{question("", joss, "bay"), question("Dot Farrow", 0, "bay"), question("", joss, "yard")}}
	if _, err := b.Write(ctx, ask); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Write(ctx, closing(3, engine.Lapsed)); err != nil {
		t.Fatal(err)
	}
	ids := func(list []engine.Question, err error) (out []engine.QuestionID) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range list {
			out = append(out, q.ID)
		}
		return out
	}
	cases := []struct {
		what string
		f    QuestionFilter
		want []engine.QuestionID
	}{
		{"all", QuestionFilter{}, []engine.QuestionID{1, 2, 3}},
		{"of a person", QuestionFilter{Person: joss}, []engine.QuestionID{1, 3}},
		{"of one whom the book does not know", QuestionFilter{Who: "Dot Farrow"}, []engine.QuestionID{2}},
		{"in a place", QuestionFilter{Place: "bay"}, []engine.QuestionID{1, 2}},
		{"open", QuestionFilter{States: []engine.QuestionState{engine.Open}}, []engine.QuestionID{1, 2}},
		{"pending", QuestionFilter{States: []engine.QuestionState{engine.Open, engine.Lapsed}}, []engine.QuestionID{1, 2, 3}},
		{"answered", QuestionFilter{States: []engine.QuestionState{engine.Answered}}, nil},
		{"a person's open one in a place", QuestionFilter{Person: joss, Place: "bay", States: []engine.QuestionState{engine.Open}}, []engine.QuestionID{1}},
	}
	for _, c := range cases {
		if got := ids(b.QuestionsWhere(ctx, c.f)); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: got %v, want %v", c.what, got, c.want)
		}
	}
	if got := ids(b.Questions(ctx, engine.Lapsed)); !reflect.DeepEqual(got, []engine.QuestionID{3}) {
		t.Errorf("lapsed: %v", got)
	}
	arrivesAs(t, b, "unheard of", engine.MessageTrace{})
	// All of a question comes back.
	want := question("", joss, "bay")
	want.ID, want.State = 1, engine.Open
	if got, _ := b.QuestionsWhere(ctx, QuestionFilter{Place: "bay", Person: joss}); !reflect.DeepEqual(got[0], want) {
		t.Errorf("got  %+v\nwant %+v", got[0], want)
	}
	mustHold(t, b)
}

// Each way of a question from state to state, and what is no way. A question is
// answered once: of two answers at the same time the second is refused, with
// all that came with it.
func TestClosing(t *testing.T) {
	states := []engine.QuestionState{engine.Open, engine.Answered, engine.Lapsed, engine.Dropped, engine.Mentioned}
	allowed := map[[2]engine.QuestionState]bool{
		{engine.Open, engine.Answered}: true, {engine.Open, engine.Lapsed}: true, {engine.Open, engine.Dropped}: true,
		{engine.Lapsed, engine.Mentioned}: true, {engine.Lapsed, engine.Answered}: true, {engine.Lapsed, engine.Dropped}: true,
		{engine.Mentioned, engine.Answered}: true, {engine.Mentioned, engine.Dropped}: true,
	}
	b := newBook(t)
	id := addMachine(t, b, "RT1", "tractor")
	var asked engine.QuestionID
	for _, from := range states {
		for _, to := range states {
			asked++
			q := question("Dot Farrow", 0, "bay")
			q.State = from
			if _, err := b.Write(ctx, engine.Batch{Ask: []engine.Question{q}}); err != nil {
				t.Fatal(err)
			}
			batch := closing(asked, to)
			batch.Entries = []engine.Entry{reading(string(from+" to "+to), id, 1)}
			before, _, _ := b.Head(ctx)
			_, err := b.Write(ctx, batch)
			after, _, _ := b.Head(ctx)
			if ok := allowed[[2]engine.QuestionState{from, to}]; ok && (err != nil || after != before+1) || !ok && (!errors.Is(err, ErrMoved) || after != before) {
				t.Errorf("%s to %s: %v, the book went from %d to %d", from, to, err, before, after)
			}
		}
	}
	_, err := b.Write(ctx, closing(99, engine.Answered))
	if !errors.Is(err, ErrTarget) || errors.Is(err, ErrMoved) {
		t.Errorf("question 99: %v", err)
	}
	mustHold(t, b)
}

func TestPosts(t *testing.T) {
	b := newBook(t)
	post := func(day engine.Day, state engine.PostState, text string) error {
		_, err := b.Write(ctx, engine.Batch{Posts: []engine.Post{{Kind: "morning", Day: day, State: state, Text: text, At: noon}}})
		return err
	}
	steps := []struct {
		what   string
		day    engine.Day
		state  engine.PostState
		text   string
		repeat bool
	}{
		{"planned", 5, engine.Planned, "RT1", false},
		{"planned again, by another process", 5, engine.Planned, "RT1", true},
		{"sent: the text stays as planned", 5, engine.Sent, "", false},
		{"sent again", 5, engine.Sent, "", true},
		{"skipped after it was sent", 5, engine.Skipped, "", true},
		{"planned after it was sent", 5, "", "RT1", true},
		{"another day", 6, engine.Planned, "RT2", false},
		{"skipped", 6, engine.Skipped, "", false},
		{"sent after it was skipped", 6, engine.Sent, "", true},
		{"sent at once", 7, engine.Sent, "RT3", false},
	}
	for _, s := range steps {
		err := post(s.day, s.state, s.text)
		var repeat *RepeatError
		if errors.As(err, &repeat) != s.repeat || !s.repeat && err != nil {
			t.Errorf("%s: %v", s.what, err)
		}
		if s.repeat && (repeat.Post == nil || repeat.Post.Day != s.day || !errors.Is(err, ErrRepeat)) {
			t.Errorf("%s: %+v", s.what, err)
		}
	}
	got, there, err := b.Post(ctx, "morning", 5)
	if want := (engine.Post{Kind: "morning", Day: 5, State: engine.Sent, Text: "RT1", At: noon}); err != nil || !there || !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, want %+v (%v)", got, want, err)
	}
	if _, there, err := b.Post(ctx, "afternoon", 5); there || err != nil {
		t.Errorf("a post that is none (%v)", err)
	}
	since, err := b.PostsSince(ctx, "morning", 6)
	if err != nil || len(since) != 2 || since[0].Day != 6 || since[1].Day != 7 {
		t.Errorf("got %+v (%v)", since, err)
	}
	mustHold(t, b)
}
