package store
import ("testing";"fmt";"woodruff/engine")
func BenchmarkZ(b *testing.B){
	book := newBook(b)
	who := engine.PersonID(write(b, book, person("Joss Penhale"))[0])
	var ids []engine.MachineID
	for i := range 20 {
		id := addMachine(b, book, fmt.Sprintf("RT%d", i), "tractor")
		ids = append(ids, id)
		fillHistory(b, book, id, who, 700)
	}
	for _, id := range ids { book.History(ctx, id) }
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ { book.History(ctx, ids[i%20]) }
}
