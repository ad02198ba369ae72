//go:build long

package triage

import "testing"

func TestShopOf5000(t *testing.T) { compareWays(t, 5000, 12, true) }
