package commands

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"

	"woodruff/engine"
)

// ForecastColumns are the columns of the forecast as CSV: meter hours at that
// time of day, with the ends of the 80 % band.
var ForecastColumns = []string{"machine", "day", "hours_low", "hours", "hours_high"}

// WriteForecast writes where meters will stand after so many days, as CSV; id 0
// is every machine in the shed. A machine without a reading has no line.
func (d *Desk) WriteForecast(ctx context.Context, w io.Writer, at engine.Instant, id engine.MachineID, days []int) error {
	t, err := d.turn(ctx, Said{At: at})
	if err != nil {
		return err
	}
	out := csv.NewWriter(w)
	if err := out.Write(ForecastColumns); err != nil {
		return err
	}
	err = t.eachMachine(func(v *view) error {
		if id != 0 && v.m.ID != id {
			return nil
		}
		return t.forecastRows(out, v, days)
	})
	if err != nil {
		return err
	}
	out.Flush()
	return out.Error()
}

// ForecastText is the same in words, with what each machine's figures rest on.
func (d *Desk) ForecastText(ctx context.Context, at engine.Instant, id engine.MachineID, days []int) ([]string, error) {
	t, err := d.turn(ctx, Said{At: at})
	if err != nil {
		return nil, err
	}
	err = t.eachMachine(func(v *view) error {
		if id == 0 || v.m.ID == id {
			t.forecastLines(v, days)
		}
		return nil
	})
	return t.out.Lines, err
}

func (t *turn) forecastLines(v *view, days []int) {
	sheet := v.sheet(t)
	if len(sheet.Meter.Points) == 0 {
		t.line(v.m.Tag + ": no reading in the book.")
		return
	}
	t.line(v.m.Tag + ", by " + footing(sheet.Forecast.Basis, t.today) + ":")
	for _, n := range days {
		day, band, ok := t.bandAfter(sheet, n)
		if !ok {
			continue
		}
		shown := func(h float64) string { return meterWords(v.m, sheet.Meter.ShownAs(engine.TenthsOf(h)).Value) }
		t.line(fmt.Sprintf("  %s: %s h, %s to %s", dayWords(day, t.today), shown(band.Mid), shown(band.Low), shown(band.High)))
	}
}

// bandAfter is where a meter stands after so many days, at this time of day.
func (t *turn) bandAfter(sheet *engine.Sheet, n int) (engine.Day, engine.Band, bool) {
	day := t.today + engine.Day(n)
	then, _ := t.cal.At(day, t.cal.ClockAt(t.now)) // in a gap, just after it
	band, ok := sheet.Forecast.ReadAt(then)
	return day, band, ok
}

// forecastRows writes the rows of one machine.
func (t *turn) forecastRows(out *csv.Writer, v *view, days []int) error {
	sheet := v.sheet(t)
	for _, n := range days {
		day, band, ok := t.bandAfter(sheet, n)
		if !ok {
			continue
		}
		row := []string{v.m.Tag, day.String()}
		for _, h := range []float64{band.Low, band.Mid, band.High} {
			row = append(row, figure(sheet.Meter.ShownAs(engine.TenthsOf(h))))
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	return nil
}

// Backtest lets a shop see how its own log would have been forecast: the last
// readings are hidden, forecast from those before, and compared. The lines say
// how often the 80 % band held, and the pinball loss in hours a reading beside
// the two plain ways of drawing a line.
func (d *Desk) Backtest(ctx context.Context, at engine.Instant) ([]string, error) {
	t, err := d.turn(ctx, Said{At: at})
	if err != nil {
		return nil, err
	}
	var sum engine.BacktestResult
	machines := 0
	err = t.eachMachine(func(v *view) error {
		one := engine.Backtest(v.m, v.h, t.cal)
		if one[0].N > 0 {
			machines++
		}
		for i := range sum {
			sum[i].Days = one[i].Days
			sum[i] = sum[i].Add(one[i])
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	if machines == 0 {
		return []string{"Too few readings to hide any: a machine needs some months of them."}, nil
	}
	lines := []string{"Forecast from the readings before, on " + count(machines, "machine") + ":"}
	for _, s := range sum {
		covered, ok := s.Coverage()
		if !ok {
			continue
		}
		n := float64(s.N)
		lines = append(lines, fmt.Sprintf("%2d days ahead, %s: %.0f %% within the 80 %% band.", s.Days, count(s.N, "reading"), 100*covered),
			fmt.Sprintf("   loss %.2f h; line through the last two %.2f h, Theil-Sen %.2f h", s.Loss/n, s.LastTwoLoss/n, s.SenLoss/n))
	}
	return lines, nil
}
