// Package morning says by itself what should have been said by now: it asks
// the desk once a minute, sends what it is handed, and marks it sent.
package morning

import (
	"context"
	"log/slog"
	"time"

	"woodruff/commands"
	"woodruff/engine"
)

// tick is how often the desk is asked. What was missed, by a restart or a
// sleeping machine, is found at the next one: nothing hangs on a timer having
// gone off.
const tick = time.Minute

// Desk is what makes posts and keeps which of them were sent.
type Desk interface {
	Due(ctx context.Context, now engine.Instant) (commands.Answer, engine.Post, bool, error)
	Sent(ctx context.Context, post engine.Post, at engine.Instant) error
}

// Send puts a post where the shop reads it.
type Send func(ctx context.Context, post engine.Post, answer commands.Answer) error

// Run posts until ctx is done. A post that fails to go out stays planned and is
// tried again at the next tick; one that went out and could not be marked so is
// sent again after a restart: rather twice than never.
func Run(ctx context.Context, desk Desk, send Send, log *slog.Logger) {
	unmarked := map[engine.Day]bool{} // sent by this run, and not marked yet
	clock := time.NewTicker(tick)
	defer clock.Stop()
	for {
		if err := once(ctx, desk, send, unmarked); err != nil && ctx.Err() == nil {
			log.Error("morning post", "err", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-clock.C:
		}
	}
}

func once(ctx context.Context, desk Desk, send Send, unmarked map[engine.Day]bool) error {
	now := engine.Instant(time.Now().Unix())
	answer, post, ok, err := desk.Due(ctx, now)
	if err != nil || !ok {
		return err
	}
	if !unmarked[post.Day] {
		if err := send(ctx, post, answer); err != nil {
			return err
		}
		unmarked[post.Day] = true
	}
	if err := desk.Sent(ctx, post, now); err != nil {
		return err
	}
	delete(unmarked, post.Day)
	return nil
}
