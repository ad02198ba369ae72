package commands

import (
	"woodruff/commands/hazard"
	"woodruff/engine"
)

// What to say when somebody is hurt or about to be: before anything else that the
// message says is answered, whoever wrote it. The facts are usual safety
// practice; where one was published it is named. None of it stands in for an
// emergency service, a poison centre or the machine's manual.

// warn is a line with its signal word of ANSI Z535: danger will kill or maim,
// a warning can.
func warn(s engine.Signal, line string) string { return string(s) + " " + line }

// hazardLines are what is said of a hazard, the first thing to do first.
var hazardLines = map[hazard.Kind][]string{
	hazard.Fire: {
		warn(engine.Danger, "Fire: everybody away, ring the fire service. Fuel off only if it can be reached without going near."),
		"An extinguisher only for a small one, from upwind, with a way out behind.",
	},
	hazard.Runaway: {
		warn(engine.Danger, "Runaway: everybody clear, first of all of the flywheel side. Fuel off if it can be reached from outside."),
		"Blocking the intake is for trained people, by the manual, never with a hand.",
	},
	hazard.Trapped: {
		warn(engine.Danger, "Ring the emergency services now. Engine off, nothing moved or lifted off without them unless life depends on it."),
		"Key out, machine held so that it cannot move further. Somebody stays with whoever is hurt.",
	},
	// Skin is pierced from some 7 bar on, often without pain (hand-surgery
	// teaching); of 435 published cases 30 % ended in amputation (Hogan, Ruland, J
	// Orthop Trauma 2006;20:503).
	hazard.Injected: {
		warn(engine.Danger, "Go to an emergency room now, even if it does not hurt and is only a dot."),
		"Somebody else drives. Say \"high-pressure injection\" and which fluid: diesel, hydraulic oil, grease.",
	},
	hazard.Pesticide: {
		warn(engine.Danger, "If it was spray mix: soaked clothes off, rinse with plenty of water, now. First aid is on its label; ring a poison centre."),
		"Take the label along. Trouble breathing, fits, very sleepy: emergency services.",
	},
	hazard.Eye: {
		warn(engine.Danger, "Rinse the eye with clean running water now, 15 minutes or more, lids held open. Then to a doctor, whatever it was."),
	},
	hazard.Fumes: {
		warn(engine.Danger, "Everybody out into fresh air now, engine off only if it is on the way. Not waking up or very sleepy: emergency services."),
		"Carbon monoxide does not smell. Nobody goes back in until it is aired.",
	},
	hazard.Hurt: {
		warn(engine.Danger, "See to the person first. Bleeding: press hard and keep pressing. Burns: cool running water. Bad, or not sure: emergency services."),
	},
	hazard.Flame: {
		warn(engine.Danger, "No flame, torch, heat gun or welding at a tank, bowl, filter or fuel line, full or empty. Tanks are welded by a certified shop, purged."),
		"To thaw: indoors, engine off, a tray under it. Thawed joints may leak.",
	},
	// 5 % of gasoline brought a diesel's flash point from 75 to 25 °C (DOT HS 807
	// 484).
	hazard.Gasoline: {
		warn(engine.Danger, "Gasoline in diesel: do not start or crank it. What is in the tank burns like gasoline: outdoors, no sparks, no nose at the filler."),
	},
	hazard.Bridging: {
		warn(engine.Danger, "Never bridge a starter or get round a seat, PTO or neutral switch, not to move it either: it can start in gear and run over whoever did."),
	},
	hazard.ColdAid: {
		warn(engine.Warning, "No starting fluid where glow plugs or an intake heater are fitted, or nobody knows: it can fire early, break the engine or flash back."),
	},
	hazard.Unguarded: {
		warn(engine.Danger, "Engine off, key out, everything at rest before hands go in. Guards on before it runs."),
	},
	hazard.Unsecured: {
		warn(engine.Danger, "Out from under it: never under a jack, or arms or deck held by hydraulics alone. Stands, or the locks, wheels chocked."),
	},
	hazard.HotPressed: {
		warn(engine.Warning, "Leave the cap on until it is cool to the hand: what is under it scalds."),
	},
}

// hazards are the lines for what is dangerous in a text.
func hazards(text string, role Role) (lines []string) {
	now := false
	for _, k := range hazard.Heard(text) {
		lines = append(lines, hazardLines[k]...)
		now = now || k.Now()
		if k == hazard.Gasoline {
			switch role {
			case Owner:
				lines = append(lines, "Leave it where it stands and ring the shop.")
			default:
				lines = append(lines, "Drain to a grounded metal can, flush, refill. It is written down if you say on which machine.")
			}
		}
	}
	if now && role != Foreman {
		lines = append(lines, "Foreman: this is for you, now.")
	}
	return lines
}

// hazardsIn are the lines for what comes in as words.
func hazardsIn(in Inbound) []string {
	switch in := in.(type) {
	case Said:
		return hazards(in.Text, in.By.Role)
	case Edited:
		return hazards(in.Text, in.By.Role)
	}
	return nil
}
