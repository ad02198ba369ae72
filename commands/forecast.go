package commands

import (
	"context"
	"encoding/csv"
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

// forecastRows writes the rows of one machine.
func (t *turn) forecastRows(out *csv.Writer, v *view, days []int) error {
	sheet := v.sheet(t)
	for _, n := range days {
		day := t.today + engine.Day(n)
		then, _ := t.cal.At(day, t.cal.ClockAt(t.now)) // in a gap, just after it
		band, ok := sheet.Forecast.HoursAt(then)
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
