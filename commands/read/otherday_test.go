package read

import "testing"

// Words about another day or an older part are no news of this one.
func TestOtherDays(t *testing.T) {
	check(t, base(), []say{
		{"rt1 drained same as yest", "service RT1 drain"},
		{"rt2 drained clean like yesterday", "service RT2 drain; finding RT2 clean"},
		{"rt1 drained clean, yesterday it had 10 ml", "service RT1 drain; finding RT1 clean"},
		{"yesterday it had water, today rt2 drained clean", "service RT2 drain; finding RT2 clean"},
		{"drained rt2 yesterday, it had water", "service RT2 drain on 2026-11-23; finding RT2 water"},
		{"rt1 every drain is water", "chat"},
		// the old ring is not renewed
		{"rt2 separator changed reused oring cos none", "service RT2 separator; service RT2 oring reused"},
		{"changed sep on rt2 with the old ring", "service RT2 separator; service RT2 oring reused"},
		{"rt2 sep changed with new oring", "service RT2 separator+oring"},
		// what was left over is asked about
		{"drained rt2 twice 5ml n 10 ml", "unclear meaning"},
		{"rt2 hyd filter n oil done", "unclear jobs"},
	})
}
