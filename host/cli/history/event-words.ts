import type { StoredAct } from '../../../protocol/index.ts';
import { actWords, trackWords } from './act-words.ts';

/** What an act came to, in the words of the act. */
export function eventWords(event: StoredAct['event']): string {
  const who = eventWho(event);
  switch (event.type) {
    case 'note':
      return actWords({ act: 'note', text: event.text });
    case 'shot-excluded':
      return actWords({ act: 'exclude', shotId: event.shotId, excluded: event.excluded, reason: event.reason, who });
    case 'shot-weighed':
      return actWords({ act: 'weigh', shotId: event.shotId, mass: event.after, reason: event.reason, who });
    case 'camera-act':
      return event.marked
        ? trackWords(event.camera, event.marked, event.clip)
        : actWords({ act: 'clip', shotId: event.shotId, camera: event.camera, clip: event.clip, who });
    case 'track-withdrawn':
      return actWords({ ...event, act: 'withdraw-track' });
    case 'adjusted':
      return actWords({ ...event, act: 'zero', shouldReadSi: Number.NaN, who });
  }
}

export const eventWho = ({ who }: StoredAct['event']): string => who ?? 'somebody who did not say';
