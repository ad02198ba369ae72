package read

import "strings"

// What was done is also told by a form that is no past: "ended up replacing",
// "had to drain", "got round to doing". data/leads.csv has the words that lead to
// such a form (class "led": to an -ing, or to the bare verb), and the verb is
// looked up by its past, so that no verb needs a row for each of them.

// achieved is the verb that starts at the first of the tokens with words that lead
// to it.
func (n *node) achieved(toks []token) ([]sense, int) {
	lead, k := lex.leads.longest(toks)
	if k == 0 || k >= len(toks) || toks[k].kind != word {
		return nil, 0
	}
	for _, s := range lead {
		for _, past := range pasts(toks[k].lem, s.value) {
			t := toks[k]
			t.w, t.lem = past, past
			rest := append([]token{t}, toks[k+1:min(len(toks), k+5)]...)
			senses, m := n.longest(rest)
			if m > 0 && (&item{senses: senses}).has("verb") {
				return senses, k + m
			}
		}
	}
	return nil, 0
}

// irregular are the pasts that no rule makes.
var irregular = map[string]string{"do": "did", "doing": "did", "put": "put", "putting": "put", "set": "set", "setting": "set",
	"bleed": "bled", "bleeding": "bled", "blow": "blew", "blowing": "blew", "hit": "hit", "hitting": "hit", "let": "let", "letting": "let",
	"stick": "stuck", "sticking": "stuck", "throw": "threw", "throwing": "threw", "fit": "fitted", "shoot": "shot", "shooting": "shot",
	"take": "took", "taking": "took", "sling": "slung", "run": "ran", "running": "ran", "get": "got", "getting": "got", "give": "gave", "giving": "gave"}

// pasts are what the past of a form can be: of an -ing, or of the bare verb.
func pasts(w, form string) []string {
	stem, ing := strings.CutSuffix(w, "ing")
	if ing != (form == "ing") || len(w) < 2 {
		return nil
	}
	if p := irregular[w]; p != "" {
		return []string{p}
	}
	if ing {
		return []string{stem + "ed"}
	}
	switch last := w[len(w)-1]; {
	case last == 'e':
		return []string{w + "d"}
	case last == 'y':
		return []string{w[:len(w)-1] + "ied"}
	default:
		return []string{w + "ed", w + string(last) + "ed"}
	}
}
