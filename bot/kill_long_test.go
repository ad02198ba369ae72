//go:build unix && long

package main

import "testing"

// TestManyRandomKills is the long form of TestRandomKills.
func TestManyRandomKills(t *testing.T) { randomKills(t, 200) }
