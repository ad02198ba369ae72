package read

import (
	"regexp"
	"strings"

	"woodruff/engine"
)

// What the shop is called and when it works stand in whole sentences of their
// own: a remark about a saturday sets nothing.
var (
	workdaysSaid = regexp.MustCompile(`(?i)^(?:(?:our|the|the shop'?s|shop'?s?) )?(?:working days|work ?days|days we work)(?: are| is|:|=)? (.+?)[.!]?$`)
	weWork       = regexp.MustCompile(`(?i)^(?:we|the shop) (?:work|works|are open|is open|are in|is in) (.+?)[.!]?$`)
	nameSaid     = regexp.MustCompile(`(?i)^(?:(?:the |our )?shop(?:'?s)? name(?: is|:)?|(?:the |our )?shop is (?:called|named)|(?:call|name) (?:the|our|this) shop) (.+?)[.!]*$`)
	daySpan      = regexp.MustCompile(`^([a-z]+)(?: ?(?:-|–) ?| (?:to|till|til|until|through|thru) )([a-z]+)$`)
	dayBreaks    = regexp.MustCompile(` *(?:,|&|\+| and | n ) *`)
)

// maxShopName is how long the name of a shop may be.
const maxShopName = 40

// shopSetting reads "we work monday to friday", "working days are mon-fri, sun"
// and "the shop is called Hollin Ridge".
func (p *parse) shopSetting() []Act {
	text := strings.Join(strings.Fields(p.text), " ")
	if strings.HasSuffix(text, "?") {
		return nil
	}
	if m := workdaysSaid.FindStringSubmatch(text); m != nil {
		if days := daysOfWeek(m[1]); days != "" {
			return []Act{{Kind: Setting, Key: engine.SetWorkdays, Value: days}}
		}
	}
	if m := weWork.FindStringSubmatch(text); m != nil {
		if days := daysOfWeek(m[1]); strings.ContainsAny(days, "-,") { // one day alone is a plan for it
			return []Act{{Kind: Setting, Key: engine.SetWorkdays, Value: days}}
		}
	}
	if m := nameSaid.FindStringSubmatch(text); m != nil && len(m[1]) <= maxShopName {
		return []Act{{Kind: Setting, Key: engine.SetName, Value: strings.TrimSpace(m[1])}}
	}
	return nil
}

// daysOfWeek writes working days as the setting has them, "mon-fri,sun"; "" where
// the words are anything else.
func daysOfWeek(s string) string {
	s = strings.ToLower(s)
	switch s {
	case "every day", "all week", "seven days", "seven days a week", "7 days", "7 days a week":
		return "sun-sat"
	}
	var parts []string
	for _, part := range dayBreaks.Split(s, -1) {
		from, to := part, ""
		if m := daySpan.FindStringSubmatch(part); m != nil {
			from, to = m[1], m[2]
		}
		a, ok := weekdayWord(from)
		if !ok {
			return ""
		}
		if to != "" {
			b, ok := weekdayWord(to)
			if !ok {
				return ""
			}
			a += "-" + b
		}
		parts = append(parts, a)
	}
	return strings.Join(parts, ",")
}

// weekdayWord is the setting's word for a weekday: "mon" for monday, mondays and
// mon.
func weekdayWord(s string) (string, bool) {
	s = strings.TrimSuffix(strings.TrimSpace(s), ".")
	for _, day := range []string{"sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"} {
		if len(s) >= 3 && strings.HasPrefix(day+"s", s) || s == "weds" && day == "wednesday" {
			return day[:3], true
		}
	}
	return "", false
}
