/** `longSession` in a process of its own, where nothing else of the bench is held beside it. */
import { type LongSessionAsked, longSession } from './long-session.ts';

process.on('message', (asked: LongSessionAsked) => {
  void longSession(asked).then((looks) => {
    process.send?.(looks, () => process.disconnect());
  });
});
