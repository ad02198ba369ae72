package read

// The tests look into the lexicon before a first message is read.
func init() { fillLex() }
