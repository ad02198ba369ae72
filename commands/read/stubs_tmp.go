package read

func (p *parse) ownActs() ([]Candidate, bool) { return nil, false }
func (p *parse) putOffs() ([]Candidate, bool) { return nil, false }
