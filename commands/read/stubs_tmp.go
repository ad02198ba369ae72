package read
func (p *parse) talk() ([]Candidate, bool) { return nil, false }
func (p *parse) answers() ([]Candidate, bool) { return nil, false }
func (p *parse) corrections() ([]Candidate, bool) { return nil, false }
func (p *parse) ownActs() ([]Candidate, bool) { return nil, false }
func (p *parse) putOffs() ([]Candidate, bool) { return nil, false }
func (p *parse) questions() ([]Candidate, bool) { return nil, false }
